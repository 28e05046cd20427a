"""The map of a year's hours as one indexed picture: a row of it is a date, a column an hour.

What stands around it (hours, months, the chosen date) is drawn over it by `year_map`.
"""

from dataclasses import dataclass
from io import BytesIO

import numpy as np
from PIL import Image

from assessments.sheets import tints
from assessments.sheets.tints import Scale
from coursework.method_year import BLANK, MethodYear, unpacked
from solar.year_grid import EVERY_MIN

CELL_WIDTH, CELL_HEIGHT = 6, 2
_HATCH, _STROKE = 12, 2  # pixels from line to line, and across a line
_STIPPLE = 9
_NEAR_DEG = 30.0
# The palette: paper, ink, stipple, then the tints.
_PAPER, _INK, _STIPPLED, _FIRST_TINT = range(4)
_AN_HOUR = 60 // EVERY_MIN


@dataclass(frozen=True)
class Hours:
    """The part of the day that is shown: whole hours, from one to another, 0 to 24."""

    first: int
    last: int

    @property
    def slots(self) -> slice:
        return slice(self.first * _AN_HOUR, self.last * _AN_HOUR)


def hours_of(year: MethodYear) -> Hours:
    """The hours in which the method can be used on any date; all of them where it never can."""
    used = np.nonzero((year.grid.by_clock(year.error, np.int16(BLANK)) != BLANK).any(axis=0))[0]
    if not used.size:
        return Hours(0, 24)
    return Hours(int(used[0]) // _AN_HOUR, min(24, int(used[-1]) // _AN_HOUR + 1))


def pixels(year: MethodYear, *, scale: Scale, tolerance_deg: float) -> np.ndarray:
    """Palette numbers, uint8, (days of the year x 2, slots x 6); the first date on top."""
    laid = year.grid.by_clock(year.error, np.int16(BLANK))[:, hours_of(year).slots]
    error = unpacked(laid)
    usable = laid != BLANK
    tint = np.where(usable, scale.tint_of(error) + _FIRST_TINT, _PAPER).astype(np.uint8)
    beyond = usable & (np.abs(np.nan_to_num(error)) > tolerance_deg)
    shown, across, dull = (_enlarged(part) for part in (tint, beyond, ~usable))
    y, x = np.indices(shown.shape)
    hatch = np.array(
        [_PAPER, _INK, _INK]
        + [_INK if tints.hatch_colour(c) == tints.INK else _PAPER for c in scale.colours],
        dtype=np.uint8,
    )
    lines = across & ((x + y) % _HATCH < _STROKE)
    drawn = np.where(lines, hatch[shown], shown)
    dots = dull & (y % _STIPPLE == 0) & ((x + y // _STIPPLE % 2 * 4) % _STIPPLE == 0)
    drawn = np.where(dots, np.uint8(_STIPPLED), drawn)
    return np.where(_no_error(error) | _shore(usable), np.uint8(_INK), drawn)


def _enlarged(cells: np.ndarray) -> np.ndarray:
    return cells.repeat(CELL_HEIGHT, axis=0).repeat(CELL_WIDTH, axis=1)


def _no_error(error: np.ndarray) -> np.ndarray:
    """Pixels where the error changes sides by way of nought, not over the half turn."""
    found = np.zeros((error.shape[0] * CELL_HEIGHT, error.shape[1] * CELL_WIDTH), dtype=bool)
    near = np.abs(np.nan_to_num(error, nan=180.0)) < _NEAR_DEG
    right = np.nan_to_num(error) > 0.0
    across = near[:, 1:] & near[:, :-1] & (right[:, 1:] != right[:, :-1])
    down = near[1:] & near[:-1] & (right[1:] != right[:-1])
    rows, columns = np.nonzero(across)
    for y in range(CELL_HEIGHT):
        for x in (-1, 0):
            found[rows * CELL_HEIGHT + y, (columns + 1) * CELL_WIDTH + x] = True
    rows, columns = np.nonzero(down)
    for x in range(CELL_WIDTH):
        found[(rows + 1) * CELL_HEIGHT, columns * CELL_WIDTH + x] = True
    return found


def _shore(usable: np.ndarray) -> np.ndarray:
    """Pixels on the edge of where the method can be used."""
    shown = _enlarged(usable)
    edge = np.zeros_like(shown)
    edge[:, 1:] |= shown[:, 1:] != shown[:, :-1]
    edge[1:] |= shown[1:] != shown[:-1]
    return edge


def picture(year: MethodYear, *, scale: Scale, tolerance_deg: float) -> Image.Image:
    """The picture with its palette; a pixel is a number of it."""
    made = Image.fromarray(pixels(year, scale=scale, tolerance_deg=tolerance_deg), mode="P")
    colours = (tints.PAPER, tints.INK, tints.STIPPLE, *scale.colours)
    made.putpalette([part for colour in colours for part in tints.rgb(colour)])
    return made


def png(year: MethodYear, *, scale: Scale, tolerance_deg: float) -> bytes:
    out = BytesIO()
    picture(year, scale=scale, tolerance_deg=tolerance_deg).save(out, format="PNG")
    return out.getvalue()
