"""The compass rose of a drawing: a band of degrees, and labels in columns beside it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from reportlab.graphics.shapes import Shape

from assessments.sheets import fonts
from assessments.sheets.lettering import PAPER as ON_PAPER
from assessments.sheets.lettering import Lettering
from assessments.sheets.placing import Box, spread
from assessments.sheets.shapes import (
    INK,
    PAPER,
    Point,
    at_bearing,
    circle,
    line,
    polygon,
    polyline,
    text,
)
from solar.bearings import difference_deg

# How far marks on the rim stand out from the band, and from which angle on they collide.
_POINTER, _SUN = 9.0, 17.0
_COLLIDE_DEG, _SUNS_COLLIDE_DEG = 6.0, 9.0


@dataclass(frozen=True)
class RimLabel:
    """What a bearing on the rim is: its lines of text and the mark that stands there."""

    bearing_deg: float
    lines: tuple[str, ...]
    mark: str  # "laid", "asked", "method", "sun" or "assumed-sun"
    offset: float = 0.0  # of its mark from the band, where another mark stands in its place
    lettering: Lettering = ON_PAPER

    @property
    def is_sun(self) -> bool:
        return "sun" in self.mark

    @property
    def reach(self) -> float:
        """How far its mark stands out from the band."""
        return self.offset + (_SUN if self.is_sun else _POINTER)

    @property
    def height(self) -> float:
        return self.lettering.name_leading * len(self.lines) + 4.0

    @property
    def width(self) -> float:
        return self.lettering.slack * max(
            fonts.text_width(words, self.lettering.name, fonts.REGULAR if n else fonts.BOLD)
            for n, words in enumerate(self.lines)
        )

    def words_at(self, x: float, top: float, anchor: str) -> Iterator[Shape]:
        """Its lines below `top`, the first one bold."""
        size = self.lettering.name
        for n, words in enumerate(self.lines):
            at = (x, top - 2.0 - self.lettering.name_leading * n - size * 0.85)
            yield text(at, words, "drawing-label", size=size, anchor=anchor, bold=n == 0)


def band(
    centre: Point,
    radius: float,
    letters: dict[int, str],
    *,
    fine: bool = False,
    lettering: Lettering = ON_PAPER,
):
    """Ring of degrees: a tick every 5 (every 1 where `fine`), figures every 30, N E S W.

    `radius` is the inner one; the band reaches that of the lettering further out.
    """
    outer = radius + lettering.band
    yield circle(centre, outer, "drawing-rim", fill=None, width=0.8)
    yield circle(centre, radius, "drawing-rim", fill=None, width=0.8)
    for degree in range(0, 360, 1 if fine else 5):
        length = 4.5 if degree % 10 == 0 else 3.0 if degree % 5 == 0 else 1.6
        start, end = at_bearing(centre, degree, radius), at_bearing(centre, degree, radius + length)
        yield line(start, end, "drawing-tick", width=0.7 if degree % 10 == 0 else 0.4)
    for degree in range(0, 360, 30):
        x, y = at_bearing(centre, degree, radius + lettering.band * 0.64)
        if degree % 90 == 0:
            at, size = (x, y - lettering.point_drop), lettering.point
            yield text(at, letters[degree], "drawing-point", size=size, anchor="middle", bold=True)
        else:
            at, size = (x, y - lettering.degree_drop), lettering.degree
            yield text(at, f"{degree}", "drawing-degree", size=size, anchor="middle")


def pointer(centre: Point, outer: float, bearing_deg: float, kind: str) -> Iterator[Shape]:
    """The mark just outside the rim that ties a line inside it to its label."""
    tip = at_bearing(centre, bearing_deg, outer)
    back = at_bearing(centre, bearing_deg, outer + 8.0)
    middle = at_bearing(centre, bearing_deg, outer + 4.0)
    name = f"drawing-{kind}"
    sides = [at_bearing(back, bearing_deg + side, 3.4) for side in (-90.0, 90.0)]
    if kind == "laid":
        yield polygon([tip, *sides], name, fill=INK)
    elif kind == "asked":
        yield polygon([tip, *sides], name, fill=PAPER, width=1.0)
    elif kind == "method":
        waist = [at_bearing(middle, bearing_deg + side, 3.0) for side in (-90.0, 90.0)]
        yield polygon([tip, waist[0], back, waist[1]], name, fill=PAPER, width=1.0)


def staggered(labels: list[RimLabel]) -> list[RimLabel]:
    """The labels with marks that would cover one another set outwards, later ones further."""
    found: list[RimLabel] = []
    for label in labels:
        near = _SUNS_COLLIDE_DEG if label.is_sun else _COLLIDE_DEG
        offset = max(
            (
                other.reach
                for other in found
                if abs(difference_deg(label.bearing_deg, other.bearing_deg)) < near
            ),
            default=0.0,
        )
        found.append(replace(label, offset=offset))
    return found


def furthest_reach(labels: list[RimLabel]) -> float:
    return max((label.reach for label in labels), default=0.0)


def side_width(labels: list[RimLabel]) -> float:
    """Room that marks and labels need to either side of the band."""
    return max((label.width for label in labels), default=0.0) + furthest_reach(labels) + 6.0


def rim_labels(
    labels: list[RimLabel], centre: Point, radius: float, bounds: Box
) -> list[tuple[list[Shape], Box]]:
    """The labels in two columns beside the circle, each with a leader from its bearing."""
    placed = []
    for to_right, column in _sides(labels, radius, bounds.top - bounds.bottom):
        edge = radius + ON_PAPER.band + furthest_reach(labels) + 4.0
        wanted = [mark_middle(centre, radius, label)[1] for label in column]
        heights = [label.height for label in column]
        middles = spread(wanted, heights, bounds.bottom, bounds.top)
        for label, middle in zip(column, middles, strict=True):
            placed.append(_column_label(label, middle, edge if to_right else -edge, centre, radius))
    return placed


def _sides(labels: list[RimLabel], radius: float, room: float) -> list[tuple[bool, list[RimLabel]]]:
    """Labels by side, from top to bottom; those near north or south even the columns out."""
    columns: dict[bool, list[RimLabel]] = {True: [], False: []}
    # The plainly eastern and western ones first: the rest go where there is room.
    for label in sorted(labels, key=lambda item: -abs(at_bearing((0, 0), item.bearing_deg, 1)[0])):
        across = at_bearing((0, 0), label.bearing_deg, 1.0)[0]
        to_right = across >= 0.0
        load = {side: sum(item.height for item in column) for side, column in columns.items()}
        undecided = abs(across) < 0.02 and load[not to_right] < load[to_right]
        if undecided or load[to_right] + label.height > room:
            to_right = not to_right
        columns[to_right].append(label)
    for column in columns.values():
        # By height of their marks, so that leaders do not cross.
        column.sort(key=lambda item: -mark_middle((0.0, 0.0), radius, item)[1])
    return list(columns.items())


def mark_middle(centre: Point, radius: float, label: RimLabel) -> Point:
    """The middle of a label's mark, outside the band."""
    size = _SUN if label.is_sun else _POINTER
    out = radius + label.lettering.band + label.reach - size / 2
    return at_bearing(centre, label.bearing_deg, out)


def _column_label(
    label: RimLabel, middle: float, from_centre: float, centre: Point, radius: float
) -> tuple[list[Shape], Box]:
    to_right = from_centre > 0.0
    sign = 1.0 if to_right else -1.0
    edge = centre[0] + from_centre
    start = mark_middle(centre, radius, label)
    end = (edge - sign * 2.0, middle)
    points = [start, end]
    if _cuts(start, end, centre, radius + label.lettering.band + 2.0):
        points.insert(1, (edge - sign * 2.0, start[1]))
    shapes: list[Shape] = [polyline(points, "drawing-leader", width=0.5)]
    anchor = "start" if to_right else "end"
    shapes += label.words_at(edge, middle + label.height / 2, anchor)
    left = edge if to_right else edge - label.width
    box = Box(left, middle - label.height / 2, left + label.width, middle + label.height / 2)
    return shapes, box


def _cuts(start: Point, end: Point, centre: Point, radius: float) -> bool:
    steps = 24
    return any(
        (
            (start[0] + (end[0] - start[0]) * n / steps - centre[0]) ** 2
            + (start[1] + (end[1] - start[1]) * n / steps - centre[1]) ** 2
        )
        < radius**2
        for n in range(steps + 1)
    )
