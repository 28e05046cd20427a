"""Finding room for labels: on their own beside points, and in columns beside a circle.

Lengths are points of the drawing, y upwards.
"""

import math
from dataclasses import dataclass, field

from assessments.sheets.shapes import Point, Segment


@dataclass(frozen=True)
class Box:
    left: float
    bottom: float
    right: float
    top: float

    @property
    def middle(self) -> Point:
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    def overlaps(self, other: "Box") -> bool:
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def nearest_to(self, point: Point) -> Point:
        """The point of the box closest to `point`."""
        return (
            min(max(point[0], self.left), self.right),
            min(max(point[1], self.bottom), self.top),
        )

    def length_inside(self, segment: Segment) -> float:
        """How much of a segment runs through the box (Liang and Barsky's clipping)."""
        (x1, y1), (x2, y2) = segment
        if (
            (x1 < self.left and x2 < self.left)
            or (x1 > self.right and x2 > self.right)
            or (y1 < self.bottom and y2 < self.bottom)
            or (y1 > self.top and y2 > self.top)
        ):
            return 0.0
        dx, dy = x2 - x1, y2 - y1
        low, high = 0.0, 1.0
        for step, room in (
            (-dx, x1 - self.left),
            (dx, self.right - x1),
            (-dy, y1 - self.bottom),
            (dy, self.top - y1),
        ):
            if step == 0.0:
                if room < 0.0:
                    return 0.0
            elif step < 0.0:
                low = max(low, room / step)
            else:
                high = min(high, room / step)
        return max(0.0, high - low) * math.hypot(dx, dy)


@dataclass
class Placer:
    """Places boxes near points inside a circle: never over each other, seldom over lines."""

    centre: Point
    radius: float
    boxes: list[Box] = field(default_factory=list)
    lines: list[Segment] = field(default_factory=list)

    def place(self, anchor: Point, width: float, height: float, *, gap: float = 5.0) -> Box | None:
        """The best free box of that size near `anchor`, kept from then on; None if none is."""
        best, best_cost = None, math.inf
        for distance in (gap, gap + 7.0, gap + 15.0, gap + 25.0, gap + 38.0, gap + 54.0):
            if distance >= best_cost:
                break  # it only costs more from here on
            for turn in range(24):
                box = _beside(anchor, math.radians(15.0 * turn), distance, width, height)
                cost = distance + 1.2 * sum(box.length_inside(line) for line in self.lines)
                if cost < best_cost and self._is_free(box):
                    best, best_cost = box, cost
        if best is not None:
            self.boxes.append(best)
        return best

    def _is_free(self, box: Box) -> bool:
        corners = [(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top)]
        inside = all(math.dist(corner, self.centre) <= self.radius for corner in corners)
        return inside and not any(box.overlaps(other) for other in self.boxes)


def _beside(anchor: Point, angle: float, distance: float, width: float, height: float) -> Box:
    # The box touches a ring of radius `distance` round the anchor from outside.
    reach_x, reach_y = math.cos(angle), math.sin(angle)
    x = anchor[0] + reach_x * (distance + width / 2)
    y = anchor[1] + reach_y * (distance + height / 2)
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def spread(wanted: list[float], heights: list[float], low: float, high: float) -> list[float]:
    """Middles for labels in one column, as near as can be to where each is wanted.

    `wanted` are middles in descending order; labels keep that order, do not overlap, and stay
    between `low` and `high` as long as they fit there together.
    """
    middles, ceiling = [], high
    for middle, height in zip(wanted, heights, strict=True):
        middles.append(min(middle, ceiling - height / 2))
        ceiling = middles[-1] - height / 2
    floor = low
    for index in reversed(range(len(middles))):
        middles[index] = max(middles[index], floor + heights[index] / 2)
        floor = middles[index] + heights[index] / 2
    return middles
