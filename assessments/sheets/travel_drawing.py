"""A leg or a position seen from above, to scale, north up: the same shapes for page and paper."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing, Shape

from assessments.sheets import fonts, furniture, travel_symbols
from assessments.sheets.drawing_words import DrawingWords
from assessments.sheets.lettering import PAPER, Lettering
from assessments.sheets.placing import Box, Placer
from assessments.sheets.shapes import Point, arrow_head, backing, circle, line, tag, text
from assessments.sheets.travel_words import quantity
from coursework.models import Method, Unit

# The part of a panel's half side within which all points lie.
_FILLED = 0.78
_LEAST = 120.0
_TITLE = 16.0
# From this width on two panels, or a panel and its legend, stand side by side.
_WIDE = 430.0


@dataclass(frozen=True)
class _Spot:
    kind: str
    east_m: float
    north_m: float


class _Panel:
    """A square piece of ground, north up, fitted round what has to be seen on it."""

    def __init__(
        self,
        title: str,
        centre: Point,
        half: float,
        spots: list[_Spot],
        lettering: Lettering,
        *,
        reach_m: float = 0.0,
    ) -> None:
        self.title, self.centre, self.half, self.spots = title, centre, half, spots
        self.lettering = lettering
        east = [spot.east_m for spot in spots]
        north = [spot.north_m for spot in spots]
        self.middle = (min(east) + max(east)) / 2, (min(north) + max(north)) / 2
        if reach_m:
            # What reaches round the first point is seen best with that one in the middle.
            self.middle = spots[0].east_m, spots[0].north_m
        farthest = max(
            math.hypot(spot.east_m - self.middle[0], spot.north_m - self.middle[1])
            for spot in spots
        )
        self.points_per_metre = half * _FILLED / max(farthest, reach_m, 0.5)
        self.placer = Placer(centre, half)
        self.placer.boxes += [_around(self.at(spot), 6.0) for spot in spots]

    def at(self, spot: _Spot) -> Point:
        return (
            self.centre[0] + (spot.east_m - self.middle[0]) * self.points_per_metre,
            self.centre[1] + (spot.north_m - self.middle[1]) * self.points_per_metre,
        )

    def frame(self, labels: DrawingWords) -> Iterator[Shape]:
        left, top = self.centre[0] - self.half, self.centre[1] + self.half
        letters = self.lettering
        bottom = self.centre[1] - self.half - letters.strip
        at, arrow = (left, top + 5.0), (left + 12.0, bottom + 2.0)
        yield text(at, self.title, "drawing-label", size=letters.title, bold=True)
        yield from furniture.north_arrow(arrow, labels.true_north, letters)
        bar = (self.centre[0] + 8.0, bottom + 12.0)
        room = self.half * 0.7
        yield from furniture.scale_bar(bar, self.points_per_metre, room, lettering=letters)

    def signs(self, names: dict[str, str]) -> Iterator[Shape]:
        for spot in self.spots:
            yield from travel_symbols.sign(spot.kind, self.at(spot))
        for spot in self.spots:
            yield from self.label(names[spot.kind], self.at(spot))

    def label(self, words: str, anchor: Point) -> Iterator[Shape]:
        letters = self.lettering
        width = fonts.text_width(words, letters.spot) * letters.slack + 3.0
        box = self.placer.place(anchor, width, letters.spot_height, gap=6.0)
        if box is None:
            return
        near = box.nearest_to(anchor)
        if math.dist(anchor, near) > 14.0:
            yield line(anchor, near, "drawing-leader", width=0.5)
        yield backing(box.left, box.bottom, box.right - box.left, box.top - box.bottom)
        at = (box.middle[0], box.bottom + letters.spot_base)
        yield text(at, words, "drawing-label", size=letters.spot, anchor="middle")


def travel_drawing(
    drawing: dict, *, width: float, height: float, lettering: Lettering = PAPER
) -> Drawing:
    """The drawing of a leg or a position; `width` and `height` in points.

    What is made has that width and at most that height; ValueError where the room is too small.
    """
    spots = [_Spot(**point) for point in drawing["points"]]
    is_leg = drawing["method"] == Method.LEG
    panels = 2 if is_leg else 1
    wide = width >= _WIDE
    legend_width = width if (is_leg or not wide) else width * 0.42
    legend = furniture.Legend(_legend(drawing), legend_width, lettering)
    below = legend.height + 8.0 if legend_width == width else 0.0
    beside = 2 if wide else 1
    rows = 1 if wide else panels
    around = lettering.strip + _TITLE + 6.0
    side = min(lettering.panel, width / beside - 14.0, (height - below) / rows - around)
    if side < _LEAST:
        raise ValueError("The drawing has too little room to be read.")
    made_height = below + rows * (side + around)
    made = tag(Drawing(width, made_height), f"drawing-{drawing['method']}")
    labels = DrawingWords.current()
    centres = []
    for number in range(panels):
        column, row = (number, 0) if wide else (0, number)
        x = width * (2 * column + 1) / (2 * beside) if wide else width / 2
        y = made_height - _TITLE - side / 2 - row * (side + around)
        centres.append((x, y))
    for panel in _panels(drawing, spots, side / 2, centres, lettering):
        for shape in _shapes(panel, drawing, spots, labels):
            made.add(shape)
    at = (0.0, legend.height) if below else (width - legend_width, made_height - _TITLE - 8.0)
    for shape in legend.shapes(at):
        made.add(shape)
    return made


def _panels(
    drawing: dict, spots: list[_Spot], half: float, centres: list[Point], lettering: Lettering
) -> list[_Panel]:
    # The whole tolerance is shown where that still leaves the points apart.
    reach = max(drawing["uncertainty_m"], drawing.get("tolerance_m", 0.0)) * 1.1
    last = spots[-2:]
    apart = math.hypot(last[0].east_m - last[1].east_m, last[0].north_m - last[1].north_m)
    reach = min(reach, 6.0 * max(apart, drawing["uncertainty_m"]))
    if drawing["method"] == Method.LEG:
        return [
            _Panel(_("The whole leg"), centres[0], half, spots, lettering),
            _Panel(_("Around the goal"), centres[1], half, last, lettering, reach_m=reach),
        ]
    title = _("Around the true point")
    return [_Panel(title, centres[0], half, spots, lettering, reach_m=reach)]


def _shapes(
    panel: _Panel, drawing: dict, spots: list[_Spot], labels: DrawingWords
) -> Iterator[Shape]:
    names = _names()
    yield from panel.frame(labels)
    if len(panel.spots) == 3:
        yield from _lines(panel)
        yield from panel.signs(names)
        return
    centre, end = (panel.at(spot) for spot in panel.spots)
    scale = panel.points_per_metre
    known = end if drawing["method"] == Method.LEG else centre
    within = panel.half * 1.02
    radius = drawing["uncertainty_m"] * scale
    if radius < within:
        yield travel_symbols.disc(known, radius)
    if radius < 0.3 * panel.half:
        # Labels keep off a small disc; a large one has room for them.
        panel.placer.boxes.append(_around(known, radius))
    tolerance = drawing.get("tolerance_m")
    if tolerance and tolerance * scale < within:
        dash = travel_symbols.TOLERANCE_DASH
        yield circle(centre, tolerance * scale, "drawing-tolerance", width=0.9, dash=dash)
    if len(spots) == 3:
        yield from _parts(panel, spots)
    elif math.dist(centre, end) > 12.0:
        yield line(centre, end, "drawing-parts", width=1.0, dash=travel_symbols.PART_DASH)
    yield from panel.signs(names)


def _lines(panel: _Panel) -> Iterator[Shape]:
    """The leg as it was asked for and the straight line that was walked."""
    start, goal, arrival = (panel.at(spot) for spot in panel.spots)
    yield line(start, goal, "drawing-asked", width=1.0, dash=travel_symbols.LEG_DASH)
    length = math.dist(start, arrival)
    if length > 12.0:
        bearing = math.degrees(math.atan2(arrival[0] - start[0], arrival[1] - start[1]))
        share = (length - 6.0) / length
        neck = (
            start[0] + (arrival[0] - start[0]) * share,
            start[1] + (arrival[1] - start[1]) * share,
        )
        yield line(start, neck, "drawing-laid", width=2.0)
        yield arrow_head(neck, bearing, "drawing-laid", size=8.0)
    panel.placer.lines += [(start, goal), (start, arrival)]


def _parts(panel: _Panel, spots: list[_Spot]) -> Iterator[Shape]:
    """The way from the goal to the arrival: first along the leg, then across it."""
    _start, goal, arrival = spots
    leg = math.hypot(goal.east_m, goal.north_m)
    east, north = goal.east_m / leg, goal.north_m / leg
    miss = arrival.east_m - goal.east_m, arrival.north_m - goal.north_m
    along = miss[0] * east + miss[1] * north
    across = miss[0] * north - miss[1] * east
    corner = panel.at(_Spot("corner", goal.east_m + along * east, goal.north_m + along * north))
    dash = travel_symbols.PART_DASH
    ends = panel.at(goal), panel.at(arrival)
    for first, second in ((ends[0], corner), (corner, ends[1])):
        yield line(first, second, "drawing-parts", width=1.0, dash=dash)
        panel.placer.lines.append((first, second))
    said = [
        (along, _("%(size)s past") if along > 0.0 else _("%(size)s short"), ends[0]),
        (across, _("%(size)s right") if across > 0.0 else _("%(size)s left"), ends[1]),
    ]
    for metres, words, end in said:
        middle = (corner[0] + end[0]) / 2, (corner[1] + end[1]) / 2
        if round(abs(metres), 1) > 0.0 and math.dist(corner, end) > 14.0:
            yield from panel.label(words % {"size": quantity(abs(metres), Unit.METRES)}, middle)


def _names() -> dict[str, str]:
    return {
        "start": _("Starting point"),
        "goal": _("Goal"),
        "arrival": _("Arrival"),
        "true": _("True point"),
        "plotted": _("Plotted"),
    }


def _legend(drawing: dict) -> dict[str, str]:
    expanded = {"size": quantity(drawing["uncertainty_m"], Unit.METRES)}
    known = _("how well the reference knows it, ±%(size)s") % expanded
    found = {
        Method.LEG: {
            "leg": _("the leg from start to goal"),
            "walked": _("straight to where the student arrived"),
            "parts": _("along and across the leg"),
        },
        Method.POSITION: {
            "true": _("the true point"),
            "plotted": _("where the student plotted it"),
        },
    }[Method(drawing["method"])]
    found["known"] = known
    if drawing.get("tolerance_m"):
        size = {"size": quantity(drawing["tolerance_m"], Unit.METRES)}
        found["tolerance"] = _("the tolerance, %(size)s") % size
    return found


def _around(point: Point, reach: float) -> Box:
    return Box(point[0] - reach, point[1] - reach, point[0] + reach, point[1] + reach)


def travel_title(drawing: dict) -> str:
    """One line that names the drawing."""
    if drawing["method"] == Method.LEG:
        return _("The leg seen from above, north up")
    return _("The plotted point and the true one, north up")
