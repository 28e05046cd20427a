"""Where everything of an attempt's drawing goes, worked out before a shape is made."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from reportlab.graphics.shapes import Shape

from assessments.sheets import around, fonts, rose, words
from assessments.sheets.drawing_words import (
    THROUGH_POINTS,
    DrawingWords,
    legend_words,
    local_times,
)
from assessments.sheets.furniture import Legend
from assessments.sheets.lettering import Lettering
from assessments.sheets.placing import Box, Placer
from assessments.sheets.rose import RimLabel
from assessments.sheets.shapes import Point, Segment, at_bearing
from assessments.sheets.sky import Sky
from solar.bearings import difference_deg

# The longest shadow as a part of the inner radius.
_LONGEST = 0.70
_LEAST_RADIUS = 40.0
# From this width on, the legend stands beside the rose, in a column of this width.
WIDE, _COLUMN = 430.0, 172.0
_SUNS_APART_DEG = 10.0
# A longer name than this is broken where names stand all around the rose.
_LONG = 80.0


@dataclass(frozen=True)
class MarkLabel:
    words: str
    anchor: Point
    box: Box

    @property
    def needs_leader(self) -> bool:
        return math.dist(self.anchor, self.box.nearest_to(self.anchor)) > 9.0


class Plan:
    """Places in points of the drawing: rose, marks, labels, strip and legend."""

    def __init__(
        self,
        drawing: dict,
        width: float,
        height: float,
        zone: str,
        labels: DrawingWords,
        lettering: Lettering,
    ) -> None:
        self.drawing, self.lettering = drawing, lettering
        marks = drawing.get("marks", [])
        self.times = local_times(marks, zone)
        landed = [mark for mark in marks if mark.get("east_m") is not None]
        by_stars = bool(drawing.get("stars"))
        self.suns = [] if by_stars else _suns(marks, self.times, labels, lettering)
        self.labels = rose.staggered(
            [
                replace(label, lettering=lettering)
                for label in [*_line_labels(drawing, labels), *self.suns]
            ]
        )
        self.legend = Legend(
            legend_words(drawing, marks=len(landed), at=self.times[-1] if self.times else ""),
            width if width < WIDE or lettering.around else min(_COLUMN, width * 0.36),
            lettering,
        )
        if lettering.around:
            self._lay_around(width)
        else:
            self._lay_out(width, height, landed=bool(landed))
        if self.radius < _LEAST_RADIUS or self.height > height:
            raise ValueError("The drawing has too little room to be read.")
        longest = max((math.hypot(mark["east_m"], mark["north_m"]) for mark in landed), default=0.0)
        self.points_per_metre = self.radius * _LONGEST / longest if longest else 1.0
        self.tips = [self._on_ground(mark["east_m"], mark["north_m"]) for mark in landed]
        self.chord = self._chord()
        self.sky = Sky.of(drawing, self.centre, self.radius) if by_stars else None

    def _lay_out(self, width: float, height: float, *, landed: bool) -> None:
        """The rose above strip and legend, or beside them where there is the width for it."""
        band, strip = self.lettering.band, self.lettering.strip
        around = band + rose.furthest_reach(self.labels) + 3.0
        side = rose.side_width(self.labels) + band
        if width >= WIDE:
            left = width - self.legend.width
            strips = strip * (1 + landed + bool(self.drawing.get("slope_deg")))
            needed = self.legend.height + strips
            self.radius = min(left / 2 - side, height / 2 - around)
            self.height = max(2 * (self.radius + around), needed)
            below, middle, top = 0.0, left / 2, (self.height + needed) / 2
            places = [(left + 4.0, top - strip * n) for n in (1, 2, 3)]
            self.north_at = (places[0][0] + 10.0, places[0][1] + 4.0)
            self.scale_at = (places[1][0] + 4.0, places[1][1] + 14.0)
            slope_at = places[1 + landed]
            self.slope_at = (slope_at[0] + 12.0, slope_at[1] + 17.0)
            self.scale_room = self.legend.width * 0.6
            self.legend_at = (left, self.legend.height + (self.height - needed) / 2)
        else:
            left, below, middle = width, self.legend.height + strip + 8.0, width / 2
            self.radius = min(left / 2 - side, (height - below) / 2 - around)
            self.height = below + 2 * (self.radius + around)
            third, bottom = width / 3, self.legend.height + 4.0
            self.north_at = (12.0, bottom)
            self.scale_at, self.scale_room = (third, bottom + 11.0), third * 0.62
            self.slope_at = (2 * third + 14.0, bottom + 14.0)
            self.legend_at = (0.0, self.legend.height)
        self.centre: Point = (middle, (below + self.height) / 2)
        self._bounds = Box(0.0, below, left, self.height)

    def _lay_around(self, width: float) -> None:
        """The rose as wide as the drawing, its names all around it, strips and legend below."""
        found = around.laid_out(self.labels, width)
        if found is None:
            raise ValueError("The drawing has too little room to be read.")
        self.radius, boxes = found.radius, found.boxes
        outer = self.radius + self.lettering.band
        out = [
            at_bearing((0.0, 0.0), label.bearing_deg, outer + label.reach)[1]
            for label in self.labels
        ]
        top = max([outer, *out, *(box.top for box in boxes)]) + 2.0
        foot = min([-outer, *out, *(box.bottom for box in boxes)]) - 2.0
        strip, bottom = self.lettering.strip, self.legend.height + 4.0
        self.slope_at = (14.0, bottom + 14.0)
        bottom += strip if self.drawing.get("slope_deg") else 0.0
        self.north_at = (12.0, bottom + 4.0)
        self.scale_at, self.scale_room = (width * 0.5, bottom + 18.0), width * 0.3
        self.legend_at = (0.0, self.legend.height)
        below = bottom + strip + 4.0
        self.height = below + top - foot
        self.centre = (found.left, below - foot)
        self._around = [
            Box(
                *(box.left + self.centre[0], box.bottom + self.centre[1]),
                *(box.right + self.centre[0], box.top + self.centre[1]),
            )
            for box in boxes
        ]

    def _on_ground(self, east_m: float, north_m: float) -> Point:
        return (
            self.centre[0] + east_m * self.points_per_metre,
            self.centre[1] + north_m * self.points_per_metre,
        )

    def _chord(self) -> Segment | None:
        """The line through the marks, a quarter of its turn from what the method calls north."""
        if self.drawing["method"] not in THROUGH_POINTS or len(self.tips) < 2:
            return None
        east = self.drawing["method_deg"] - self.drawing["target_deg"] + 90.0
        middle = (
            sum(tip[0] for tip in self.tips) / len(self.tips),
            sum(tip[1] for tip in self.tips) / len(self.tips),
        )
        reach = max(math.dist(tip, middle) for tip in self.tips) + 16.0
        reach = max(reach, self.radius * 0.22)
        return at_bearing(middle, east, -reach), at_bearing(middle, east, reach)

    def rim_labels(self) -> list[tuple[list[Shape], Box]]:
        if not self.lettering.around:
            return rose.rim_labels(self.labels, self.centre, self.radius, self._bounds)
        return [
            (list(around.shapes(label, box, self.centre, self.radius)), box)
            for label, box in zip(self.labels, self._around, strict=True)
        ]

    def mark_labels(self) -> Iterator[MarkLabel]:
        """Times beside the marks; the first and the last come first where room is short."""
        placer = Placer(self.centre, self.radius - 1.0)
        placer.lines += [(self.centre, tip) for tip in self.tips]
        placer.lines += [self.chord] if self.chord else []
        placer.lines += [
            (self.centre, at_bearing(self.centre, self.drawing[key], self.radius))
            for key in ("laid_deg", "method_deg", "target_deg")
        ]
        placer.boxes.append(_around(self.centre, 6.0))
        placer.boxes += [_around(tip, 3.5) for tip in self.tips]
        if self.sky is not None:
            yield from self._star_labels(placer)
        numbered = list(zip(self.tips, self.times, strict=False))
        labelled: list[Point] = []
        for tip, time in numbered[:1] + numbered[:0:-1]:
            # Closer than this, times can no longer be told apart; the table has them all.
            crowded = any(math.dist(tip, other) < self.lettering.marks_apart for other in labelled)
            if crowded and len(labelled) > 1:
                continue
            box = self._beside(placer, tip, time)
            if box is not None:
                labelled.append(tip)
                # The leader of a far label is in the way of the next ones.
                placer.lines.append((tip, box.nearest_to(tip)))
                yield MarkLabel(time, tip, box)

    def _beside(self, placer: Placer, anchor: Point, said: str) -> Box | None:
        width = fonts.text_width(said, self.lettering.mark) * self.lettering.slack + 3.0
        return placer.place(anchor, width, self.lettering.mark_height)

    def _star_labels(self, placer: Placer) -> Iterator[MarkLabel]:
        placer.lines += self.sky.segments
        placer.boxes += [_around(place, 5.0) for place in self.sky.places]
        for place, said in zip(self.sky.places, self.sky.names, strict=True):
            box = self._beside(placer, place, said)
            if box is not None:
                placer.lines.append((place, box.nearest_to(place)))
                yield MarkLabel(said, place, box)


def _around(point: Point, reach: float) -> Box:
    return Box(point[0] - reach, point[1] - reach, point[0] + reach, point[1] + reach)


def _line_labels(drawing: dict, labels: DrawingWords) -> list[RimLabel]:
    found = [
        RimLabel(drawing[key], (name, words.bearing(drawing[key])), mark)
        for key, name, mark in (
            ("target_deg", labels.asked, "asked"),
            ("laid_deg", labels.student, "laid"),
            ("method_deg", labels.method, "method"),
        )
    ]
    supposed = drawing.get("assumed_sun_deg")
    if supposed is not None:
        found.append(RimLabel(supposed, (labels.rule_sun, words.bearing(supposed)), "assumed-sun"))
    return found


def _suns(
    marks: list[dict], times: list[str], labels: DrawingWords, lettering: Lettering
) -> list[RimLabel]:
    """The sun at the last mark, and at earlier ones where it stood well apart."""
    found: list[RimLabel] = []
    for mark, time in reversed(list(zip(marks, times, strict=True))):
        azimuth = mark["sun_azimuth_deg"]
        if len(found) < 4 and all(
            abs(difference_deg(azimuth, other.bearing_deg)) >= _SUNS_APART_DEG for other in found
        ):
            # A time with seconds or a day stands by itself: the margin is not wider.
            short = len(time) <= len("00:00")
            named = (f"{labels.sun} {time}",) if short else (labels.sun, time)
            if lettering.around and RimLabel(azimuth, named, "sun", 0.0, lettering).width > _LONG:
                named = (labels.sun, time)
            found.append(RimLabel(azimuth, (*named, words.bearing(azimuth)), "sun"))
    return found
