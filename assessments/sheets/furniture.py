"""What stands around a drawing: foot of the stick, north arrow, scale bar, slope, legend."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.formats import number_format
from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Rect, Shape

from assessments.sheets import fonts, travel_symbols, words
from assessments.sheets.lettering import PAPER as ON_PAPER
from assessments.sheets.lettering import Lettering
from assessments.sheets.shapes import (
    INK,
    PAPER,
    Point,
    arrow_head,
    at_bearing,
    circle,
    grey,
    line,
    polygon,
    star,
    sun,
    tag,
    text,
)

ASKED_DASH = [7.0, 3.0]
METHOD_DASH = [1.4, 2.6]
CHORD_DASH = [9.0, 2.5, 1.5, 2.5]
SUNLINE_DASH = [0.6, 2.2]
SHADOW_WIDTH = 3.0
_SAMPLE = 26.0
# A page sets its own font, often wider than the one measured here.
_SLACK = 1.14


def foot(centre: Point) -> Iterator[Shape]:
    yield circle(centre, 4.2, "drawing-foot", fill=PAPER, width=1.0)
    yield circle(centre, 1.8, "drawing-foot drawing-solid", fill=INK, width=0.4)


def north_arrow(bottom: Point, label: str, lettering: Lettering = ON_PAPER) -> Iterator[Shape]:
    """An arrow 26 high that stands on `bottom`, half of it dark, its label to the right."""
    x, y = bottom
    tip, notch = (x, y + 26.0), (x, y + 7.0)
    yield polygon([tip, (x - 7.0, y), notch], "drawing-north", fill=INK, width=0.8)
    yield polygon([tip, (x + 7.0, y), notch], "drawing-north drawing-hollow", fill=PAPER, width=0.8)
    yield text((x + 11.0, y + 8.0), label, "drawing-north drawing-words", size=lettering.key)


def scale_length_m(metres_across: float) -> float:
    """The longest of 1, 2 or 5 times a power of ten that is at most `metres_across`."""
    power = 10.0 ** math.floor(math.log10(metres_across))
    return max(n * power for n in (1, 2, 5) if n * power <= metres_across * (1 + 1e-9))


def scale_bar(
    left: Point,
    points_per_metre: float,
    room: float,
    stick_m: float | None = None,
    *,
    lettering: Lettering = ON_PAPER,
) -> Iterator[Shape]:
    """Two fields, dark and light, with the length they have on the ground, and the stick's."""
    metres = scale_length_m(room / points_per_metre)
    length, (x, y) = metres * points_per_metre, left
    for n, fill in enumerate((INK, PAPER)):
        half = Rect(x + n * length / 2, y, length / 2, 4.0, fillColor=fill, strokeColor=INK)
        half.strokeWidth = 0.6
        yield tag(half, "drawing-scale" + (" drawing-hollow" if n else ""))
    name, size = "drawing-scale drawing-words", lettering.key
    yield text((x, y + 7.5), "0", name, size=size, anchor="middle")
    yield text((x + length, y + 7.5), _metres(metres), name, size=size, anchor="middle")
    if stick_m is None:
        return
    stick = _("stick %(length)s") % {"length": _metres(stick_m)}
    yield text((x, y - 2.0 - size), stick, name, size=size)


def _metres(metres: float) -> str:
    if metres < 1.0 and round(metres * 100, 6) == round(metres * 100):
        return _("%(number)s cm") % {"number": number_format(round(metres * 100))}
    if metres < 0.01:
        return _("%(number)s mm") % {"number": f"{metres * 1000:g}"}
    return _("%(number)s m") % {"number": f"{metres:g}"}


def slope_arrow(
    middle: Point, slope_deg: float, downhill_deg: float, lettering: Lettering = ON_PAPER
) -> Iterator[Shape]:
    """The way the ground falls, as an arrow in a ring, with the slope beside it."""
    name = "drawing-slope"
    yield circle(middle, 12.0, name, width=0.5, dash=[1, 2])
    tip, tail = at_bearing(middle, downhill_deg, 11.0), at_bearing(middle, downhill_deg, -11.0)
    yield line(tail, at_bearing(middle, downhill_deg, 6.0), name, width=1.6)
    yield arrow_head(tip, downhill_deg, name, size=8.0)
    x, y = middle[0] + 17.0, middle[1]
    falls = _("ground falls %(slope)s") % {"slope": words.degrees(slope_deg)}
    towards = _("towards %(bearing)s") % {"bearing": words.bearing(downhill_deg, places=0)}
    size = lettering.key
    yield text((x, y + 2.0), falls, f"{name} drawing-words", size=size)
    yield text((x, y - size), towards, f"{name} drawing-words", size=size)


@dataclass(frozen=True)
class Legend:
    """Samples with words, in rows as wide as the drawing."""

    entries: dict[str, str]
    width: float
    lettering: Lettering = ON_PAPER

    @property
    def rows(self) -> list[list[tuple[str, str, float]]]:
        """Rows of (kind, words, left edge)."""
        rows: list[list[tuple[str, str, float]]] = [[]]
        x = 4.0
        for kind, said in self.entries.items():
            for n, part in enumerate(self._wrapped(said)):
                taken = _SAMPLE + 5.0 + fonts.text_width(part, self.lettering.key) * _SLACK + 12.0
                if (x + taken > self.width and rows[-1]) or n:
                    rows.append([])
                    x = 4.0
                rows[-1].append((kind if n == 0 else "", part, x))
                x += taken
        return rows

    def _wrapped(self, said: str) -> list[str]:
        room = (self.width - _SAMPLE - 14.0) / _SLACK
        lines: list[str] = []
        for word in said.split():
            longer = f"{lines[-1]} {word}" if lines else word
            if lines and fonts.text_width(longer, self.lettering.key) <= room:
                lines[-1] = longer
            else:
                lines.append(word)
        return lines

    @property
    def height(self) -> float:
        return self.lettering.key_row * len(self.rows) + 4.0

    def shapes(self, top_left: Point) -> Iterator[Shape]:
        for n, row in enumerate(self.rows):
            y = top_left[1] - self.lettering.key_row * (n + 0.5)
            for kind, said, x in row:
                yield from _sample(kind, (top_left[0] + x, y))
                at = (top_left[0] + x + _SAMPLE + 5.0, y - self.lettering.key_drop)
                yield text(at, said, "drawing-legend", size=self.lettering.key)


def _sample(kind: str, left: Point) -> Iterator[Shape]:
    """A short piece of what the drawing shows, `_SAMPLE` long."""
    x, y = left
    end, middle, name = (x + _SAMPLE, y), (x + _SAMPLE / 2, y), f"drawing-{kind}"
    if kind == "laid":
        yield line(left, (end[0] - 5.0, y), name, width=2.0)
        yield arrow_head(end, 90.0, name)
    elif kind == "asked":
        yield line(left, end, name, width=1.0, dash=ASKED_DASH)
    elif kind == "method":
        yield line(left, end, name, width=1.6, dash=METHOD_DASH)
        yield arrow_head(end, 90.0, name, size=5.5, filled=False)
    elif kind == "chord":
        yield line(left, end, name, width=0.8, dash=CHORD_DASH)
    elif kind == "shadow":
        yield line(left, end, name, width=SHADOW_WIDTH, colour=grey(0.72))
    elif kind == "wedge":
        corners = [left, (end[0], y + 4.0), (end[0], y - 4.0)]
        shape = polygon(corners, name, fill=grey(0.9), stroke=grey(0.35), width=0.5)
        yield shape
    elif kind == "mark":
        yield from mark(middle)
    elif kind in ("sun", "assumed-sun"):
        yield from sun(middle, 6.0, name, real=kind == "sun")
    elif kind in ("star", "dropped"):
        yield from star(middle, 5.5, name, real=kind == "star")
    elif kind == "drop":
        yield line(left, end, "drawing-sunline", width=0.9, dash=SUNLINE_DASH)
    elif kind in travel_symbols.KINDS:
        yield from travel_symbols.sample(kind, left, _SAMPLE)


def mark(at: Point) -> Iterator[Shape]:
    """A small saltire, whose crossing is the very point."""
    for sign in (-1.0, 1.0):
        ends = (at[0] - 3.0, at[1] - 3.0 * sign), (at[0] + 3.0, at[1] + 3.0 * sign)
        yield line(*ends, "drawing-mark", width=1.3)
