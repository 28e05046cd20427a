"""A day across: method error and marking scatter as two lines, in degrees over local time.

Tags: day-error, day-scatter, day-limit, day-zero, day-level, map-text, map-hour, map-frame.
"""

import math

import numpy as np
from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing, Rect

from assessments.sheets.fonts import text_width
from assessments.sheets.record_axes import broken
from assessments.sheets.shapes import INK, PAPER, grey, line, polyline, tag, text
from assessments.sheets.year_map import PAPER_SHEET, Frame, Sheet, hour_lines
from assessments.sheets.year_picture import Hours

_PLOT = 144.0
# Of the key: its first line below the top, from line to line, and what is below it.
_KEY, _KEY_ROW, _KEY_FOOT = 11.0, 16.0, 35.0
_TOPS = (5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0)
SCATTER_DASH = [4.0, 3.0]
LIMIT_DASH = [1.0, 2.5]
_JUMP_DEG = 25.0
_KEY_LINES = {
    "day-error": {"width": 2.2},
    "day-scatter": {"width": 1.6, "dash": SCATTER_DASH},
    "day-limit": {"width": 1.4, "dash": LIMIT_DASH},
}
# Where a sample begins, the name of its line (none where words go on), and its words.
_Said = tuple[float, str, str]


def day_lines(
    *,
    hours: Hours,
    clock_min: np.ndarray,
    error_deg: np.ndarray,
    scatter_deg: np.ndarray,
    tolerance_deg: float,
    sheet: Sheet = PAPER_SHEET,
) -> Drawing:
    """One date; arrays (starts,): minutes past midnight by the clock, degrees, NaN for none.

    Where the clock goes back, or where there is no value, a line is broken.
    """
    frame = Frame(hours, sheet)
    limit = _limit(error_deg, tolerance_deg)
    key = _key(bool(np.isfinite(scatter_deg).any()), tolerance_deg, sheet)
    left, right, bottom = sheet.left, sheet.width - sheet.right, sheet.bottom
    top = bottom + _PLOT
    middle, per_degree = (top + bottom) / 2, (top - bottom) / 2 / limit
    height = top + _KEY_FOOT + _KEY_ROW * (len(key) - 1) + _KEY
    made = tag(Drawing(sheet.width, height), "day")
    for part in hour_lines(frame, bottom, top):
        made.add(part)
    _levels(made, limit, middle, per_degree, sheet)
    if tolerance_deg <= limit:
        for sign in (-1.0, 1.0):
            y = middle + sign * tolerance_deg * per_degree
            made.add(line((left, y), (right, y), "day-limit", width=1.4, dash=LIMIT_DASH))

    def runs(values):
        return _runs(clock_min, values, limit, lambda m, v: (frame.x(m), middle + v * per_degree))

    for points in runs(scatter_deg):
        made.add(polyline(points, "day-scatter", width=1.6, dash=SCATTER_DASH))
    for points in runs(error_deg):
        made.add(polyline(points, "day-casing", width=4.4, colour=PAPER))
        made.add(polyline(points, "day-error", width=2.2))
    border = Rect(left, bottom, frame.span, _PLOT, fillColor=None, strokeColor=INK)
    border.strokeWidth = 1.0
    made.add(tag(border, "map-frame"))
    for n, row in enumerate(key):
        for x, name, words in row:
            y = height - _KEY - _KEY_ROW * n
            if name:
                made.add(line((x, y), (x + 26.0, y), name, **_KEY_LINES[name]))
            made.add(text((x + 32.0, y - 3.5), words, "map-text", size=sheet.size))
    made.add(text((left, 3.0), _("start, local time"), "map-text", size=sheet.size))
    return made


def _limit(error_deg: np.ndarray, tolerance_deg: float) -> float:
    """The largest degree that is drawn; a scatter beyond it is cut off."""
    sizes = np.abs(error_deg[np.isfinite(error_deg)])
    largest = max(float(sizes.max(initial=0.0)), min(tolerance_deg * 1.05, 180.0))
    return next(top for top in _TOPS if largest <= top)


def _levels(made: Drawing, limit: float, middle: float, per_degree: float, sheet: Sheet) -> None:
    left, right = sheet.left, sheet.width - sheet.right
    step = limit / 2 if limit in (10.0, 20.0, 60.0, 90.0, 120.0, 180.0) else limit / 3
    step = 2.5 if limit == 5.0 else step
    for n in range(-math.floor(limit / step), math.floor(limit / step) + 1):
        y = middle + n * step * per_degree
        if n == 0:
            made.add(line((left, y), (right, y), "day-zero", width=1.0))
        elif abs(n) * step < limit:
            made.add(line((left, y), (right, y), "day-level", width=0.4, colour=grey(0.6)))
        at = (left - 4.0, y - sheet.size * 0.35)
        made.add(text(at, f"{abs(n * step):g}°", "map-text", size=sheet.size, anchor="end"))


def _runs(clock_min, values, limit, place):
    """Pieces of a line: as long as there is a value within the limits and the clock goes on.

    Nor is a leap drawn, such as that of a rule that is another one from noon on.
    """
    points, before, last = [], None, 0.0
    for minute, value in zip(clock_min.tolist(), values.tolist(), strict=True):
        shown = minute >= 0 and math.isfinite(value) and abs(value) <= limit
        if points and (not shown or minute <= before or abs(value - last) > _JUMP_DEG):
            yield points
            points = []
        if shown:
            # A single start between two others without a value still has to be seen.
            points += [place(minute, value)] if points else [place(minute, value)] * 2
            before, last = minute, value
    if points:
        yield points


def _key(has_scatter: bool, tolerance_deg: float, sheet: Sheet) -> list[list[_Said]]:
    """Rows of samples with their words; in larger letters one to a row, broken where too long."""
    left, size = sheet.left, sheet.size
    error = _("method error, above the middle to the right, below it to the left")
    scatter = _("marking scatter")
    limit = _("tolerance, %(tolerance)s° either side") % {"tolerance": f"{tolerance_deg:g}"}
    if sheet != PAPER_SHEET:
        lines = broken(error, sheet.width - sheet.right - left - 32.0, size)
        said = [*zip(["day-error", *[""] * len(lines)], lines, strict=False)]
        said += [("day-scatter", scatter)] if has_scatter else []
        return [[(left, name, words)] for name, words in [*said, ("day-limit", limit)]]
    if not has_scatter:
        return [[(left, "day-error", error)], [(left, "day-limit", limit)]]
    # Behind the words before it, however long they are in the language.
    beside = left + max(150.0, 50.0 + text_width(scatter, size))
    return [
        [(left, "day-error", error)],
        [(left, "day-scatter", scatter), (beside, "day-limit", limit)],
    ]
