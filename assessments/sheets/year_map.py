"""The map of a year's hours: the picture under hours and months, and what its tints mean.

The day runs across, the year down the page. The day's lines (`day_lines`) have the same hours
at the same places, so that one can stand below the other.

Tags: map-text, map-hour, map-month, map-frame, map-day, map-casing; legend-text, legend-frame.
"""

from calendar import monthrange
from dataclasses import dataclass
from datetime import date

from django.utils.dates import MONTHS_3
from django.utils.translation import gettext as _
from PIL import Image
from reportlab.graphics.shapes import Drawing, Group, Line, Rect
from reportlab.graphics.shapes import Image as Picture
from reportlab.lib.colors import HexColor

from assessments.sheets import tints
from assessments.sheets.shapes import INK, PAPER, grey, line, polygon, tag, text
from assessments.sheets.tints import Scale
from assessments.sheets.year_picture import Hours

DAY_HEIGHT = 1.0
_TINT_HEIGHT = 17.0


@dataclass(frozen=True)
class Sheet:
    """Where the picture lies in the drawings, and the size of their letters."""

    left: float
    top: float
    bottom: float
    size: float
    right: float = 10.0
    width: float = 420.0


PAPER_SHEET = Sheet(32.0, 28.0, 30.0, 10.5)
# A phone shows its points as 0.93 px; static/planner.js has the same edges.
SCREEN_SHEET = Sheet(46.0, 30.0, 38.0, 13.0)


@dataclass(frozen=True)
class Frame:
    """Where hours stand across a drawing."""

    hours: Hours
    sheet: Sheet = PAPER_SHEET

    @property
    def span(self) -> float:
        return self.sheet.width - self.sheet.left - self.sheet.right

    def x(self, minute: float) -> float:
        """The place of a minute past midnight."""
        shown = (self.hours.last - self.hours.first) * 60.0
        return self.sheet.left + self.span * (minute - self.hours.first * 60.0) / shown

    @property
    def labelled(self) -> range:
        """The hours that are named: every one, or every second or third or sixth one."""
        step = next(n for n in (1, 2, 3, 6) if (self.hours.last - self.hours.first) / n <= 9)
        return range(-(-self.hours.first // step) * step, self.hours.last + 1, step)


class MapPicture(Picture):
    """A picture that a page fetches from an address of its own, and paper takes as it is."""

    def __init__(self, x, y, width, height, picture: Image.Image | None, *, href: str = "") -> None:
        super().__init__(x, y, width, height, picture)
        self._href = href


def year_map(
    *,
    hours: Hours,
    year: int,
    day: date,
    picture: Image.Image | None = None,
    href: str = "",
    sheet: Sheet = PAPER_SHEET,
) -> Drawing:
    """The map; `picture` is printed, `href` is where a page finds it. Minutes are clock time."""
    days = 366 if monthrange(year, 2)[1] == 29 else 365
    height = days * DAY_HEIGHT
    frame = Frame(hours, sheet)
    left, right = sheet.left, sheet.width - sheet.right
    made = tag(Drawing(sheet.width, height + sheet.top + sheet.bottom), "map")
    made.add(MapPicture(left, sheet.bottom, frame.span, height, picture, href=href))
    top = sheet.bottom + height
    for part in hour_lines(frame, sheet.bottom, top):
        made.add(part)
    _months(made, year, top, sheet)
    y = top - (day - date(year, 1, 1)).days * DAY_HEIGHT - DAY_HEIGHT / 2
    ends = (left, y), (right, y)
    made.add(line(*ends, "map-casing", width=3.6, colour=PAPER))
    made.add(line(*ends, "map-day", width=1.5))
    for x, out in ((left, -1.0), (right, 1.0)):
        corners = [(x, y), (x + 7.0 * out, y + 4.0), (x + 7.0 * out, y - 4.0)]
        made.add(polygon(corners, "map-day map-solid"))
    frame_shape = Rect(left, sheet.bottom, frame.span, height, fillColor=None, strokeColor=INK)
    frame_shape.strokeWidth = 1.0
    made.add(tag(frame_shape, "map-frame"))
    caption = _("start of the drill by the clock of the place")
    made.add(text((left, 3.0), caption, "map-text", size=sheet.size))
    return made


def hour_lines(frame: Frame, bottom: float, top: float):
    """A fine line at each named hour and its name, above and below."""
    for hour in frame.labelled:
        x = frame.x(hour * 60.0)
        if frame.hours.first < hour < frame.hours.last:
            yield line((x, bottom), (x, top), "map-hour", width=0.5, colour=grey(0.35))
        yield line((x, top), (x, top + 4.0), "map-tick", width=1.0)
        yield line((x, bottom), (x, bottom - 4.0), "map-tick", width=1.0)
        size = frame.sheet.size
        for y in (top + 7.0, bottom - 5.0 - size):
            yield text((x, y), f"{hour:02d}", "map-text", size=size, anchor="middle")


def _months(made: Drawing, year: int, top: float, sheet: Sheet) -> None:
    y, left, right = top, sheet.left, sheet.width - sheet.right
    for month in range(1, 13):
        length = monthrange(year, month)[1] * DAY_HEIGHT
        name = str(MONTHS_3[month]).capitalize()
        at = (left - 9.0, y - length / 2 - sheet.size * 0.35)
        made.add(text(at, name, "map-text", size=sheet.size, anchor="end"))
        if month > 1:
            ends = (left - 6.0, y), (right, y)
            made.add(line(*ends, "map-month", width=0.5, colour=grey(0.35)))
        y -= length


def legend(scale: Scale, *, tolerance_deg: float, sheet: Sheet = PAPER_SHEET) -> Drawing:
    """The tints with the degrees that part them, the hatching, the stipple, the line of none."""
    size, left, right = sheet.size, sheet.left, sheet.width - sheet.right
    # In larger letters the stipple has a row of its own, below the hatching.
    apart = sheet != PAPER_SHEET
    hatched, dotted = (left, 21.0 if apart else 1.0), (left if apart else 250.0, 1.0)
    bottom = hatched[1] + 34.0 + 2 * size
    made = tag(Drawing(sheet.width, bottom + 36.0), "map-legend")
    made.add(text((left, bottom + 23.0), scale.title, "legend-text", size=size, bold=True))
    step = (right - left) / len(scale.colours)
    for n, colour in enumerate(scale.colours):
        tile = Rect(left + n * step, bottom, step, _TINT_HEIGHT, strokeColor=None)
        tile.fillColor = HexColor(colour)
        made.add(tag(tile, "legend-tint"))
    made.add(_outline(left, bottom, step * len(scale.colours)))
    for n, label in enumerate(scale.labels, start=1):
        at = (left + n * step, bottom - size - 2.0)
        made.add(text(at, label, "legend-text", size=size, anchor="middle"))
    for words, x, anchor in zip(scale.ends, (left, right), ("start", "end"), strict=True):
        at = (x, bottom - 2 * size - 5.0)
        made.add(text(at, words, "legend-text", size=size, anchor=anchor))
    y, x = bottom - 2 * size - 1.5, 172.0 + (left - PAPER_SHEET.left)
    made.add(line((x, y), (x + 26.0, y), "legend-none", width=1.6))
    made.add(text((x + 32.0, y - 3.5), _("no error"), "legend-text", size=size))
    beyond = _("beyond the tolerance of %(tolerance)s°") % {"tolerance": f"{tolerance_deg:g}"}
    made.add(_hatched(*hatched, scale))
    made.add(text((hatched[0] + 38.0, hatched[1] + 4.0), beyond, "legend-text", size=size))
    made.add(_dotted(*dotted))
    at = (dotted[0] + 38.0, dotted[1] + 4.0)
    made.add(text(at, _("not to be used"), "legend-text", size=size))
    return made


def _outline(x: float, y: float, width: float, height: float = _TINT_HEIGHT) -> Rect:
    shape = Rect(x, y, width, height, fillColor=None, strokeColor=INK)
    shape.strokeWidth = 0.8
    return tag(shape, "legend-frame")


def _hatched(x: float, y: float, scale: Scale) -> Group:
    """Half a light tint, half a dark one, with the lines that each has."""
    made, half = Group(), 16.0
    light, dark = sorted(scale.colours, key=tints.lightness, reverse=True)[1:8:6]
    for n, colour in enumerate((light, dark)):
        tile = Rect(x + n * half, y, half, _TINT_HEIGHT - 3.0, strokeColor=None)
        tile.fillColor = HexColor(colour)
        made.add(tag(tile, "legend-tint"))
        for shift in (2.0, 8.0, 14.0):
            start = x + n * half + shift
            run = min(half - shift, _TINT_HEIGHT - 3.0)
            stroke = Line(start, y, start + run, y + run, strokeWidth=1.0)
            stroke.strokeColor = HexColor(tints.hatch_colour(colour))
            made.add(tag(stroke, "legend-hatch"))
    made.add(_outline(x, y, 2 * half, _TINT_HEIGHT - 3.0))
    return made


def _dotted(x: float, y: float) -> Group:
    made = Group()
    tile = Rect(x, y, 32.0, _TINT_HEIGHT - 3.0, strokeColor=None)
    tile.fillColor = HexColor(tints.PAPER)
    made.add(tag(tile, "legend-tint"))
    for row in range(3):
        for column in range(7):
            dot = Rect(x + 2.5 + column * 4.4 + row % 2 * 2.2, y + 2.0 + row * 4.5, 0.9, 0.9)
            dot.strokeColor, dot.fillColor = None, HexColor(tints.STIPPLE)
            if dot.x < x + 31.0:
                made.add(tag(dot, "legend-stipple"))
    made.add(_outline(x, y, 32.0, _TINT_HEIGHT - 3.0))
    return made
