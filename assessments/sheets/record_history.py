"""Every line in time: above the result with the method's part, below the student's own error."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing, Group, Rect

from assessments.sheets.lettering import PAPER, Lettering
from assessments.sheets.record_axes import (
    SIZE,
    Legend,
    band,
    bar,
    diamond,
    step_of,
    top_of,
    words_width,
)
from assessments.sheets.shapes import INK, arrow_head, circle, grey, line, tag, text
from coursework.wording import short_date

WIDE, NARROW = 760.0, 352.0
MOST = {WIDE: 26, NARROW: 14}
"""The newest lines that fit by width."""
_LEFT, _RIGHT, _EDGE = 58.0, 8.0, 8.0
_PANEL, _CAPTION, _FOOT = 118.0, 20.0, 20.0
_CUT_DEG = 90.0


@dataclass(frozen=True, kw_only=True)
class HistoryMark:
    """One line. Degrees, positive to the right."""

    day: date
    error_deg: float
    method_error_deg: float
    own_error_deg: float
    expanded_u_deg: float
    tolerance_deg: float
    assessed: bool
    swapped: bool


def history_drawing(
    marks: Sequence[HistoryMark],
    *,
    width: float = WIDE,
    mean_deg: float | None = None,
    lettering: Lettering = PAPER,
) -> Drawing:
    """The newest marks (in order of time, at least one) that fit `width` (WIDE or NARROW)."""
    marks = list(marks)[-MOST[width] :]
    part = lettering.chart / SIZE
    # A narrow one has no room to spare for words that begin where the panels do.
    left = _LEFT * part if width == WIDE else _EDGE
    key = Legend(
        _entries(marks, mean_deg), left=left, width=width - left - _RIGHT, lettering=lettering
    )
    caption = _CAPTION * part
    height = 2 * (_PANEL + caption) + _FOOT * part + key.height + 6.0
    made = tag(Drawing(width, height), "record-history")
    for shape in key.shapes(height):
        made.add(shape)
    upper = _Panel(
        made,
        top=height - key.height - caption,
        width=width,
        count=len(marks),
        limit=top_of([min(size, _CUT_DEG) for mark in marks for size in _sizes(mark)]),
        caption=_("result, and the method’s part in it"),
        lettering=lettering,
    )
    lower = _Panel(
        made,
        top=upper.bottom - caption - 6.0,
        width=width,
        count=len(marks),
        limit=top_of([min(size, _CUT_DEG) for mark in marks for size in _own_sizes(mark)]),
        caption=_("own error, with the uncertainty of the check"),
        lettering=lettering,
    )
    for panel in (upper, lower):
        panel.ground([mark.tolerance_deg for mark in marks])
    if mean_deg is not None:
        lower.mean(mean_deg)
    for number, mark in enumerate(marks):
        group = tag(Group(), "record-point")
        upper.result(group, number, mark)
        lower.own(group, number, mark)
        made.add(group)
    _dates(made, lower, marks)
    return made


def _sizes(mark: HistoryMark) -> list[float]:
    sizes = [mark.tolerance_deg * 1.1, abs(mark.method_error_deg)]
    return sizes if mark.swapped else [*sizes, abs(mark.error_deg)]


def _own_sizes(mark: HistoryMark) -> list[float]:
    sizes = [mark.tolerance_deg * 1.1]
    return sizes if mark.swapped else [*sizes, abs(mark.own_error_deg) + mark.expanded_u_deg]


def _entries(marks: Sequence[HistoryMark], mean_deg: float | None) -> list[tuple[str, str]]:
    found = [
        ("result", _("result")),
        ("method", _("the method’s part")),
        ("own", _("own error")),
        ("band", _("tolerance")),
    ]
    if any(not mark.assessed for mark in marks):
        found.append(("practice", _("practice, not assessed")))
    if mean_deg is not None:
        found.append(("mean", _("mean own error")))
    if any(mark.swapped or _beyond(mark) for mark in marks):
        found.append(("swapped", _("beyond the drawing")))
    return found


def _beyond(mark: HistoryMark) -> bool:
    return max(abs(mark.error_deg), abs(mark.own_error_deg)) > _CUT_DEG


class _Panel:
    """One of the two fields; `limit` degrees to each side of its middle."""

    def __init__(self, made: Drawing, *, top, width, count, limit, caption, lettering) -> None:
        self._made, self.top, self.bottom = made, top, top - _PANEL
        self._middle, self._scale = top - _PANEL / 2.0, _PANEL / 2.0 / limit
        self._limit, self._right = limit, width - _RIGHT
        self.lettering, self.size = lettering, lettering.chart
        self.left = _LEFT * self.size / SIZE
        self.cell = (self._right - self.left) / count
        at = (self.left if width == WIDE else _EDGE, top + 6.0)
        made.add(text(at, caption, "record-text", size=self.size, bold=True))

    def x(self, number: float) -> float:
        return self.left + self.cell * (number + 0.5)

    def y(self, degrees: float) -> float:
        return self._middle + max(-self._limit, min(self._limit, degrees)) * self._scale

    def ground(self, tolerances: Sequence[float]) -> None:
        made = self._made
        start = 0
        for number in range(1, len(tolerances) + 1):
            if number < len(tolerances) and tolerances[number] == tolerances[start]:
                continue
            left, right = self.left + start * self.cell, self.left + number * self.cell
            low, high = self.y(-tolerances[start]), self.y(tolerances[start])
            made.add(band(left, right, low, high))
            start = number
        step = step_of(self._limit)
        levels = round(self._limit / step)
        for level in range(-levels, levels + 1):
            y = self.y(level * step)
            name, width = ("record-zero", 1.0) if level == 0 else ("record-level", 0.4)
            colour = INK if level == 0 else grey(0.6)
            made.add(line((self.left, y), (self._right, y), name, width=width, colour=colour))
            words = f"{abs(level * step):g}°"
            if abs(level) == levels:
                words = _("right %(size)s") if level > 0 else _("left %(size)s")
                words %= {"size": f"{abs(level * step):g}°"}
            at = (self.left - 4.0, y - self.size * 0.35 + (-3.0 if level == levels else 0.0))
            made.add(text(at, words, "record-text", size=self.size - 1.0, anchor="end"))
        frame = Rect(self.left, self.bottom, self._right - self.left, _PANEL, fillColor=None)
        frame.strokeColor, frame.strokeWidth = INK, 0.9
        made.add(tag(frame, "record-frame"))

    def mean(self, mean_deg: float) -> None:
        y = self.y(mean_deg)
        self._made.add(
            line((self.left, y), (self._right, y), "record-mean", width=1.6, dash=[5.0, 2.5])
        )

    def result(self, group: Group, number: int, mark: HistoryMark) -> None:
        x, half = self.x(number), min(4.0, self.cell * 0.3)
        low, high = sorted((self.y(0.0), self.y(mark.method_error_deg)))
        group.add(bar(x - half, x + half, low, high, "record-method", fill=0.75))
        if abs(mark.error_deg) > self._limit:
            group.add(self._edge(x, mark.error_deg))
        else:
            group.add(circle((x, self.y(mark.error_deg)), 3.2, "record-result", fill=INK))

    def own(self, group: Group, number: int, mark: HistoryMark) -> None:
        x, own = self.x(number), mark.own_error_deg
        if abs(own) > self._limit:
            group.add(self._edge(x, own))
            return
        ends = self.y(own - mark.expanded_u_deg), self.y(own + mark.expanded_u_deg)
        group.add(line((x, ends[0]), (x, ends[1]), "record-u", width=1.0))
        for y in ends:
            group.add(line((x - 2.5, y), (x + 2.5, y), "record-u", width=1.0))
        group.add(diamond((x, self.y(own)), 3.8, "record-own", hollow=not mark.assessed))

    def _edge(self, x: float, degrees: float):
        up = degrees > 0.0
        tip = (x, self.top - 1.0 if up else self.bottom + 1.0)
        return arrow_head(tip, 0.0 if up else 180.0, "record-swapped", size=9.0)


def _dates(made: Drawing, panel: _Panel, marks: Sequence[HistoryMark]) -> None:
    """As many dates as have room; the year with the first of each."""
    size, free, year = panel.size - 1.0, 0.0, None
    y = panel.bottom - 13.0 * panel.size / SIZE
    for number, mark in enumerate(marks):
        words = short_date(mark.day, "j M Y" if mark.day.year != year else "j M")
        half = words_width(words, size) / 2.0
        x = max(panel.x(number), panel.left + half - 12.0)
        if x - half < free or x + half > made.width:
            continue
        made.add(text((x, y), words, "record-text", size=size, anchor="middle"))
        tick = (panel.x(number), panel.bottom)
        made.add(line(tick, (tick[0], tick[1] - 3.0), "record-level", width=0.8))
        free, year = x + half + 8.0, mark.day.year
