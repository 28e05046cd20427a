"""The north diagram: true, grid and magnetic north from one point, for page and print.

Common practice on maps (no source): a star for true north, GN for grid north, half an arrow head
for magnetic north.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from django.utils.translation import gettext as _
from django.utils.translation import pgettext
from reportlab.graphics.shapes import Drawing, Shape

from assessments.sheets import fonts, words
from assessments.sheets.lettering import PAPER, Lettering
from assessments.sheets.north_words import as_of
from assessments.sheets.shapes import (
    INK,
    Point,
    at_bearing,
    line,
    polygon,
    polyline,
    text,
)
from coursework.norths import Norths

WIDTH, HEIGHT = 340.0, 268.0
LEAST_SHOWN_DEG, MOST_SHOWN_DEG = 14.0, 42.0
"""Smaller angles than the first are widened to it, larger ones than the second narrowed."""
TOGETHER_DEG = 0.05
"""Norths nearer than this are printed as one line."""
_PIVOT, _LENGTH = (WIDTH / 2, 40.0), 176.0


@dataclass(frozen=True)
class _North:
    name: str  # "true", "grid" or "magnetic"
    letters: str
    angle_deg: float


def north_diagram(norths: Norths, lettering: Lettering = PAPER) -> Drawing:
    """WIDTH by HEIGHT points. It says on it whether its angles are to scale."""
    fonts.register()
    lines = _lines(norths)
    shown = shown_angles([north.angle_deg for north in lines])
    drawing = Drawing(WIDTH, HEIGHT)
    for north, bearing in zip(lines, shown, strict=True):
        for shape in _north(north, bearing):
            drawing.add(shape)
    for shape in _letters(lines, shown, lettering):
        drawing.add(shape)
    for shape in _arcs(lines, shown, lettering):
        drawing.add(shape)
    for n, said in enumerate([scale_words(lines, shown), as_of(norths)]):
        at, size = (_PIVOT[0], 19.0 - 13.0 * n), lettering.norths - 1.0
        drawing.add(text(at, said, "north-note", size=size, anchor="middle"))
    return drawing


def _lines(norths: Norths) -> list[_North]:
    """The norths that are known, from left to right."""
    found = [_North("true", pgettext("true north", "TN"), 0.0)]
    if norths.convergence_deg is not None:
        found.append(_North("grid", pgettext("grid north", "GN"), norths.convergence_deg))
    if norths.declination_deg is not None:
        found.append(_North("magnetic", pgettext("magnetic north", "MN"), norths.declination_deg))
    return sorted(found, key=lambda north: north.angle_deg)


def shown_angles(angles_deg: list[float]) -> list[float]:
    """Bearings at which lines are drawn, in the order given (from left to right).

    The order is kept and zero stays zero; neighbours stand LEAST_SHOWN_DEG apart where they
    differ at all, and none further from zero than MOST_SHOWN_DEG.
    """
    middle = angles_deg.index(0.0)
    right = _spread(angles_deg[middle:])
    left = [-value for value in _spread([-value for value in reversed(angles_deg[: middle + 1])])]
    return [*reversed(left), *right[1:]]


def _spread(sizes: list[float]) -> list[float]:
    """The same for one side, from zero outwards."""
    shown = [0.0]
    for index, (before, size) in enumerate(pairwise(sizes)):
        room_deg = LEAST_SHOWN_DEG * (len(sizes) - 2 - index)
        if size - before < TOGETHER_DEG:
            shown.append(shown[-1])
        else:
            wide = max(size, shown[-1] + LEAST_SHOWN_DEG)
            shown.append(min(wide, MOST_SHOWN_DEG - room_deg))
    return shown


def scale_words(lines: list[_North], shown: list[float]) -> str:
    if len(lines) == 1:
        return ""
    off = (abs(north.angle_deg - at) for north, at in zip(lines, shown, strict=True))
    if max(off) < TOGETHER_DEG:
        return _("The angles are drawn to scale.")
    return _("Schematic: the angles are not drawn to scale.")


def _north(north: _North, bearing: float) -> Iterator[Shape]:
    tip = at_bearing(_PIVOT, bearing, _LENGTH)
    dash = {"grid": [5.0, 2.5]}.get(north.name)
    yield line(_PIVOT, tip, f"north-{north.name}", width=1.4, dash=dash)
    if north.name == "true":
        yield polygon(_star(at_bearing(_PIVOT, bearing, _LENGTH + 7.0), 7.5), "north-true")
    elif north.name == "magnetic":
        wing = at_bearing(tip, bearing + 180.0 - 24.0, 15.0)
        back = at_bearing(tip, bearing + 180.0, 9.0)
        yield polygon([tip, wing, back], "north-magnetic", fill=INK)


def _star(centre: Point, radius: float) -> list[Point]:
    return [
        at_bearing(centre, 36.0 * n, radius if n % 2 == 0 else radius * 0.42) for n in range(10)
    ]


def _letters(lines: list[_North], shown: list[float], lettering: Lettering) -> Iterator[Shape]:
    """The letters above the tips; those of lines drawn as one stand side by side."""
    for bearing in sorted(set(shown)):
        same = [north for north, at in zip(lines, shown, strict=True) if at == bearing]
        has_star = any(north.name == "true" for north in same)
        x, y = at_bearing(_PIVOT, bearing, _LENGTH + (18.0 if has_star else 9.0))
        said = " ".join(north.letters for north in same)
        size = lettering.norths
        yield text((x, y), said, "north-letters", size=size, anchor="middle", bold=True)


def _arcs(lines: list[_North], shown: list[float], lettering: Lettering) -> Iterator[Shape]:
    """An arc between each two norths; its size and name stand outside the fan of lines."""
    last = len(lines) - 1
    pairs = [(first, second) for first in range(last) for second in range(first + 1, last + 1)]
    # The widest arc on top, where there is most room between the lines.
    pairs.sort(key=lambda pair: (shown[pair[1]] - shown[pair[0]], pair))
    for place, (first, second) in enumerate(pairs):
        radius = 58.0 + 40.0 * place if len(pairs) > 1 else 98.0
        # One end of every pair is the outermost line of its side.
        on_right = second == last and not (first == 0 and place == 2 and _is_left(shown))
        from_deg, to_deg = shown[first], shown[second]
        steps = max(2, math.ceil(to_deg - from_deg))
        points = [
            at_bearing(_PIVOT, from_deg + (to_deg - from_deg) * n / steps, radius)
            for n in range(steps + 1)
        ]
        if to_deg > from_deg:
            yield polyline(points, "north-arc", width=0.8)
        end = -1 if on_right else 0
        x, y = points[end]
        # Clear of a line that leans over the label's upper half.
        lean = 12.0 * math.tan(math.radians(abs((from_deg, to_deg)[end])))
        edge = x + (7.0 + lean if on_right else -7.0 - lean)
        anchor = "start" if on_right else "end"
        size = words.degrees(abs(lines[second].angle_deg - lines[first].angle_deg))
        name = _name_of({lines[first].name, lines[second].name})
        letters, small = lettering.norths, lettering.norths - 1.0
        yield text((edge, y + 1.5), size, "north-size", size=letters, anchor=anchor, bold=True)
        room = WIDTH - edge if on_right else edge
        for n, part in enumerate(_parts(name, room, lettering)):
            at = (edge, y - small * (1 + n))
            yield text(at, part, "north-name", size=small, anchor=anchor)


def _parts(name: str, room: float, lettering: Lettering) -> list[str]:
    """The name of an angle, broken at its hyphen where larger letters leave it no room."""
    width = fonts.text_width(name, lettering.norths - 1.0) * lettering.slack
    if not lettering.breaks or width <= room or "-" not in name:
        return [name]
    first, second = name.split("-", 1)
    return [f"{first}-", second]


def _is_left(shown: list[float]) -> bool:
    """Whether the fan leans to the left, so that there is more room on that side of it."""
    return abs(shown[0]) > abs(shown[-1])


def _name_of(pair: set[str]) -> str:
    if pair == {"true", "magnetic"}:
        return _("declination")
    if pair == {"true", "grid"}:
        return _("convergence")
    return _("grid-magnetic")
