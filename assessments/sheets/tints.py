"""The tints of a map of hours: bounds in degrees, and colours that grow darker one by one.

As on a map of heights, each tint stands for a range. Within a scale the lightness runs one way
only, so that it reads the same printed in grey and to eyes that tell few colours apart; the
hues, ochre to brown and blue to straw, stay apart for them too.
"""

from dataclasses import dataclass

import numpy as np
from django.utils.translation import gettext as _

PAPER, INK, STIPPLE = "#f7f8f3", "#14201b", "#9aa39b"


@dataclass(frozen=True)
class Scale:
    """`bounds_deg` part the tints: len(colours) - 1 of them, growing."""

    name: str
    bounds_deg: tuple[float, ...]
    colours: tuple[str, ...]

    def tint_of(self, error_deg: np.ndarray) -> np.ndarray:
        """The number of the tint of each error; a bound belongs to the tint before it."""
        shown = np.abs(error_deg) if self.name == "size" else error_deg
        return np.searchsorted(self.bounds_deg, shown, side="left")

    @property
    def labels(self) -> list[str]:
        """What stands at each bound."""
        return [f"{abs(bound):g}°" for bound in self.bounds_deg]

    @property
    def ends(self) -> tuple[str, str]:
        """What the two ends of the scale mean."""
        if self.name == "size":
            return _("near north"), _("far off")
        return _("off to the left"), _("off to the right")

    @property
    def title(self) -> str:
        if self.name == "size":
            return _("Method error, whichever side")
        return _("Method error and its side")


SIZE = Scale(
    "size",
    (1.0, 2.0, 4.0, 6.0, 10.0, 15.0, 20.0, 30.0),
    ("#fdf3d6", "#f3dda6", "#e6c47a", "#d5a854", "#bd8739",
     "#9c6729", "#78481c", "#542f12", "#301a0b"),
)  # fmt: skip
SIDED = Scale(
    "sided",
    (-20.0, -10.0, -5.0, -2.0, 2.0, 5.0, 10.0, 20.0),
    ("#0e1a38", "#1b3562", "#2d5687", "#50799b", "#85998f",
     "#b3ab78", "#d3c277", "#ebdb98", "#fdf6d2"),
)  # fmt: skip
SCALES = {scale.name: scale for scale in (SIZE, SIDED)}


def rgb(colour: str) -> tuple[int, int, int]:
    """Red, green and blue, 0 to 255, of '#rrggbb'."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def lightness(colour: str) -> float:
    """CIE L*, 0 (black) to 100 (white), of an sRGB colour (IEC 61966-2-1, CIE 15)."""
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (value / 255.0 for value in rgb(colour))
    ]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    if luminance <= (6.0 / 29.0) ** 3:
        return luminance * (29.0 / 3.0) ** 3
    return 116.0 * luminance ** (1.0 / 3.0) - 16.0


def hatch_colour(colour: str) -> str:
    """What can be seen on a tint: ink on the light ones, paper on the dark ones."""
    return INK if lightness(colour) > 50.0 else PAPER
