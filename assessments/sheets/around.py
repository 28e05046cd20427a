"""Names of what stands on the rim of a rose, close outside it all around.

So the rose takes nearly the whole width of a narrow drawing: names above, below and in the
corners instead of columns beside it. Lengths are points, y upwards, the middle of the rose at
(0, 0).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportlab.graphics.shapes import Shape

from assessments.sheets import rose
from assessments.sheets.placing import Box
from assessments.sheets.rose import RimLabel
from assessments.sheets.shapes import Point, Segment, at_bearing, polyline
from solar.bearings import difference_deg

_STEP_DEG, _FURTHEST_DEG = 4.0, 88.0
# Between rim and name, and how often and far a name gives way outwards to what stands there.
_GAP, _PUSHES, _PUSH = 4.0, 10, 5.0
_MARK, _SUN_MARK = 6.0, 9.0
_CROSSING, _CROSSED = 3.0, 80.0
_FEW, _MANY = 22, 45
# Inner radii to try: a smaller rose leaves more room for names.
_RADII = (126.0, 114.0, 102.0, 90.0, 78.0, 66.0)
_ASIDE_RADII = (114.0, 106.0, 98.0)
# How much of its reach a mark stands to the side, so that names beside the rose are worth it.
_PLAINLY = 0.8
# An arrangement that costs no more than this is not looked at further.
_WELL = 200.0
_LARGER = 0.6


@dataclass(frozen=True)
class _Place:
    angle_deg: float  # unrolled: it grows along the labels
    box: Box
    leader: Segment
    cost: float

    def in_the_way_of(self, other: "_Place") -> float:
        """What it costs that a leader runs over the words of another or over its leader."""
        over = self.box.length_inside(other.leader) + other.box.length_inside(self.leader)
        return _CROSSING * over + _CROSSED * _cross(self.leader, other.leader)


@dataclass(frozen=True)
class Around:
    """A rose of that inner radius, its middle `left` from the drawing's edge, and its names."""

    radius: float
    left: float
    boxes: list[Box]
    cost: float


def laid_out(labels: Sequence[RimLabel], width: float) -> Around | None:
    """The largest rose that leaves room for all names; None where there is no such room.

    It stands in the middle, or, where most of what is named lies to one side, further to the
    other and somewhat smaller, if the names come nearer to their marks by that.
    """
    options, room = [], furthest_radius(labels, width / 2)
    for radius in _RADII:
        found = placed(labels, radius=min(radius, room), left=width / 2, width=width)
        if found is not None:
            options.append(found)
        if found is not None and (found.cost < _WELL or len(options) > 1):
            break
    east, west = (_beside(labels, sign) for sign in (1.0, -1.0))
    if max(east, west) > 2:
        for radius in _ASIDE_RADII:
            least = _reach(labels, radius, -1.0 if east >= west else 1.0)
            left = least if east >= west else width - least
            found = placed(labels, radius=radius, left=left, width=width)
            if found is not None:
                options.append(found)
    return min(options, key=lambda each: each.cost - each.radius * _LARGER, default=None)


def _beside(labels: Sequence[RimLabel], sign: float) -> int:
    """How many marks stand plainly to one side: 1.0 for the right, -1.0 for the left."""
    across = [at_bearing((0.0, 0.0), label.bearing_deg, sign)[0] for label in labels]
    return sum(part > _PLAINLY for part in across)


def _reach(labels: Sequence[RimLabel], radius: float, sign: float) -> float:
    """How far rim and marks reach to one side."""
    band = labels[0].lettering.band
    return max(
        [radius + band + 1.0]
        + [
            at_bearing((0.0, 0.0), label.bearing_deg, sign)[0] * (radius + band + label.reach)
            for label in labels
        ]
    )


def placed(
    labels: Sequence[RimLabel], *, radius: float, left: float, width: float
) -> Around | None:
    """Where each of the labels goes; None where there is no room for them all.

    `radius` is the inner one of the band. The boxes lie between the edges of the drawing, as near
    to their marks as can be, and their leaders do not cross.
    """
    order = _around_from_the_widest_gap(labels)
    marks = [_mark_box(label, radius) for label in labels]
    taken = [*marks, *_turn_boxes(labels, radius)]
    choices, unrolled = [], 0.0
    for before, number in zip([None, *order], order, strict=False):
        label = labels[number]
        if before is None:
            unrolled = label.bearing_deg
        else:
            unrolled += (label.bearing_deg - labels[before].bearing_deg) % 360.0
        choices.append(list(_places(label, unrolled, radius, (-left, width - left), taken, marks)))
    found = _cheapest(choices, _FEW) or _cheapest(choices, _MANY)
    if found is None:
        return None
    places = dict(zip(order, found[0], strict=True))
    boxes = [places[number].box for number in range(len(labels))]
    return Around(radius, left, boxes, found[1])


def furthest_radius(labels: Sequence[RimLabel], half_width: float) -> float:
    """The largest inner radius at which rim and marks stay within `half_width`."""
    room = [half_width - label.lettering.band - 1.0 for label in labels]
    for label in labels:
        across = abs(at_bearing((0.0, 0.0), label.bearing_deg, 1.0)[0])
        if across > 0.1:
            room.append(half_width / across - label.lettering.band - label.reach)
    return min(room)


def shapes(label: RimLabel, box: Box, centre: Point, radius: float) -> Iterator[Shape]:
    """The words in the box and a fine line to them from their mark."""
    mark = rose.mark_middle(centre, radius, label)
    yield polyline([mark, box.nearest_to(mark)], "drawing-leader", width=0.5)
    yield from label.words_at(box.middle[0], box.top, "middle")


def _around_from_the_widest_gap(labels: Sequence[RimLabel]) -> list[int]:
    order = sorted(range(len(labels)), key=lambda n: (labels[n].bearing_deg % 360.0, n))
    gaps = [
        (labels[number].bearing_deg - labels[order[place - 1]].bearing_deg) % 360.0
        for place, number in enumerate(order)
    ]
    first = max(range(len(gaps)), key=gaps.__getitem__) if gaps else 0
    return order[first:] + order[:first]


def _mark_box(label: RimLabel, radius: float) -> Box:
    x, y = rose.mark_middle((0.0, 0.0), radius, label)
    reach = _SUN_MARK if label.is_sun else _MARK
    return Box(x - reach, y - reach, x + reach, y + reach)


def _turn_boxes(labels: Sequence[RimLabel], radius: float) -> Iterator[Box]:
    """Along the arc from where a rule supposes the sun to where it was."""
    supposed = next((label for label in labels if label.mark == "assumed-sun"), None)
    real = next((label for label in labels if label.mark == "sun"), None)
    if supposed is None or real is None:
        return
    turn = float(difference_deg(real.bearing_deg, supposed.bearing_deg))
    out = math.hypot(*rose.mark_middle((0.0, 0.0), radius, real))
    for n in range(1, int(abs(turn) / 4.0)):
        x, y = at_bearing((0.0, 0.0), supposed.bearing_deg + math.copysign(4.0 * n, turn), out)
        yield Box(x - 4.0, y - 4.0, x + 4.0, y + 4.0)


def _places(
    label: RimLabel,
    unrolled_deg: float,
    radius: float,
    edges: tuple[float, float],
    taken: list[Box],
    marks: list[Box],
) -> Iterator[_Place]:
    width, height = label.width + 4.0, label.height
    mark = rose.mark_middle((0.0, 0.0), radius, label)
    outer = radius + label.lettering.band + _GAP
    steps = int(_FURTHEST_DEG / _STEP_DEG)
    for n in range(-steps, steps + 1):
        turn = n * _STEP_DEG
        box = _outside(unrolled_deg + turn, width, height, outer, edges, taken)
        if box is None:
            continue
        leader = mark, box.nearest_to(mark)
        crossed = sum(
            other.length_inside(leader) for other in marks if other.middle != mark
        ) + _within(leader, outer - _GAP)
        beyond = max(0.0, box.top - outer - height, -box.bottom - outer - height)
        cost = math.dist(*leader) + _CROSSING * crossed + 0.5 * beyond + (turn / 12.0) ** 2
        yield _Place(unrolled_deg + turn, box, leader, cost)


def _outside(
    bearing_deg: float,
    width: float,
    height: float,
    outer: float,
    edges: tuple[float, float],
    taken: list[Box],
) -> Box | None:
    """The box that touches the rim from outside in a bearing, further out where that is taken."""
    across, up = at_bearing((0.0, 0.0), bearing_deg, 1.0)
    for push in range(_PUSHES):
        ring = outer + push * _PUSH
        # Beside the rose as high as its mark, as far as the drawing reaches there.
        y = up * (ring + height / 2)
        x = math.copysign(_beyond(ring, abs(y) - height / 2) + width / 2, across)
        if abs(across) < abs(up) or not edges[0] <= x - width / 2 <= x + width / 2 <= edges[1]:
            x = across * (ring + width / 2)
            x = max(edges[0] + width / 2, min(edges[1] - width / 2, x))
            y = math.copysign(_beyond(ring, abs(x) - width / 2) + height / 2, up)
        box = Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)
        if not any(box.overlaps(other) for other in taken):
            return box
    return None


def _cross(one: Segment, other: Segment) -> bool:
    return _parted(one, other) and _parted(other, one)


def _parted(ends: Segment, line: Segment) -> bool:
    """Whether the ends lie to either side of a line."""
    (x, y), (x2, y2) = line
    first, second = ((x2 - x) * (b - y) - (y2 - y) * (a - x) for a, b in ends)
    return first * second < 0.0


def _beyond(ring: float, aside: float) -> float:
    """How far out the ring is at a distance from the axis through its middle."""
    return math.sqrt(max(0.0, ring**2 - max(0.0, aside) ** 2))


def _within(segment: Segment, radius: float) -> float:
    """About how much of a segment runs over the rose."""
    (x, y), (x2, y2) = segment
    dx, dy = x2 - x, y2 - y
    length = math.hypot(dx, dy)
    part = max(0.0, min(1.0, -(x * dx + y * dy) / length**2)) if length else 0.0
    nearest = math.hypot(x + dx * part, y + dy * part)
    return min(length, 2.0 * _beyond(radius, nearest)) if nearest < radius else 0.0


def _cheapest(choices: list[list[_Place]], few: int) -> tuple[list[_Place], float] | None:
    """A place for each label, in order around the rose, none over another; with their cost.

    Of each label the `few` cheapest places are tried; the cheapest arrangement that ends at each
    of them is gone on with. None where none is found.
    """
    ends: list[tuple[float, list[_Place]]] = [(0.0, [])]
    for places in choices:
        tried = sorted(places, key=lambda place: place.cost)[:few]
        found = (_cheapest_before(place, ends) for place in tried)
        ends = [end for end in found if end is not None]
    cost, chain = min(ends, key=lambda end: end[0], default=(0.0, []))
    return (chain, cost) if chain else None


def _cheapest_before(
    place: _Place, ends: list[tuple[float, list[_Place]]]
) -> tuple[float, list[_Place]] | None:
    """The cheapest arrangement of the labels so far that `place` can follow, with it."""
    best, before = math.inf, None
    for cost, chain in ends:
        if cost >= best or (chain and chain[-1].angle_deg >= place.angle_deg):
            continue
        if any(place.box.overlaps(other.box) for other in chain):
            continue
        cost += sum(place.in_the_way_of(other) for other in chain)
        if cost < best:
            best, before = cost, chain
    return None if before is None else (best + place.cost, [*before, place])
