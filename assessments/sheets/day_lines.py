"""A day across: method error and marking scatter as two lines, in degrees over local time.

Tags: day-error, day-scatter, day-limit, day-zero, day-level, map-text, map-hour, map-frame.
"""

import math

import numpy as np
from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing, Rect

from assessments.sheets.fonts import text_width
from assessments.sheets.shapes import INK, PAPER, grey, line, polyline, tag, text
from assessments.sheets.year_map import BOTTOM, LEFT, RIGHT, SIZE, WIDTH, Frame, hour_lines
from assessments.sheets.year_picture import Hours

HEIGHT = 236.0
TOP = 62.0
_TOPS = (5.0, 10.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0)
SCATTER_DASH = [4.0, 3.0]
LIMIT_DASH = [1.0, 2.5]
_JUMP_DEG = 25.0


def day_lines(
    *,
    hours: Hours,
    clock_min: np.ndarray,
    error_deg: np.ndarray,
    scatter_deg: np.ndarray,
    tolerance_deg: float,
) -> Drawing:
    """One date; arrays (starts,): minutes past midnight by the clock, degrees, NaN for none.

    Where the clock goes back, or where there is no value, a line is broken.
    """
    frame = Frame(hours)
    limit = _limit(error_deg, tolerance_deg)
    top = HEIGHT - TOP
    middle, per_degree = (top + BOTTOM) / 2, (top - BOTTOM) / 2 / limit
    made = tag(Drawing(WIDTH, HEIGHT), "day")
    for part in hour_lines(frame, BOTTOM, top):
        made.add(part)
    _levels(made, limit, middle, per_degree)
    if tolerance_deg <= limit:
        for sign in (-1.0, 1.0):
            y = middle + sign * tolerance_deg * per_degree
            made.add(line((LEFT, y), (WIDTH - RIGHT, y), "day-limit", width=1.4, dash=LIMIT_DASH))

    def runs(values):
        return _runs(clock_min, values, limit, lambda m, v: (frame.x(m), middle + v * per_degree))

    for points in runs(scatter_deg):
        made.add(polyline(points, "day-scatter", width=1.6, dash=SCATTER_DASH))
    for points in runs(error_deg):
        made.add(polyline(points, "day-casing", width=4.4, colour=PAPER))
        made.add(polyline(points, "day-error", width=2.2))
    border = Rect(LEFT, BOTTOM, frame.span, top - BOTTOM, fillColor=None, strokeColor=INK)
    border.strokeWidth = 1.0
    made.add(tag(border, "map-frame"))
    _key(made, bool(np.isfinite(scatter_deg).any()), tolerance_deg)
    made.add(text((LEFT, 3.0), _("start, local time"), "map-text", size=SIZE))
    return made


def _limit(error_deg: np.ndarray, tolerance_deg: float) -> float:
    """The largest degree that is drawn; a scatter beyond it is cut off."""
    sizes = np.abs(error_deg[np.isfinite(error_deg)])
    largest = max(float(sizes.max(initial=0.0)), min(tolerance_deg * 1.05, 180.0))
    return next(top for top in _TOPS if largest <= top)


def _levels(made: Drawing, limit: float, middle: float, per_degree: float) -> None:
    step = limit / 2 if limit in (10.0, 20.0, 60.0, 90.0, 120.0, 180.0) else limit / 3
    step = 2.5 if limit == 5.0 else step
    for n in range(-math.floor(limit / step), math.floor(limit / step) + 1):
        y = middle + n * step * per_degree
        if n == 0:
            made.add(line((LEFT, y), (WIDTH - RIGHT, y), "day-zero", width=1.0))
        elif abs(n) * step < limit:
            made.add(line((LEFT, y), (WIDTH - RIGHT, y), "day-level", width=0.4, colour=grey(0.6)))
        at = (LEFT - 4.0, y - SIZE * 0.35)
        made.add(text(at, f"{abs(n * step):g}°", "map-text", size=SIZE, anchor="end"))


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


def _key(made: Drawing, has_scatter: bool, tolerance_deg: float) -> None:
    y, name = HEIGHT - 11.0, "map-text"
    made.add(line((LEFT, y), (LEFT + 26.0, y), "day-error", width=2.2))
    words = _("method error, above the middle to the right, below it to the left")
    made.add(text((LEFT + 32.0, y - 3.5), words, name, size=SIZE))
    y -= 16.0
    scatter = _("marking scatter")
    if has_scatter:
        ends = (LEFT, y), (LEFT + 26.0, y)
        made.add(line(*ends, "day-scatter", width=1.6, dash=SCATTER_DASH))
        made.add(text((LEFT + 32.0, y - 3.5), scatter, name, size=SIZE))
    # Behind the words before it, however long they are in the language.
    x = LEFT + max(150.0, 50.0 + text_width(scatter, SIZE)) if has_scatter else LEFT
    made.add(line((x, y), (x + 26.0, y), "day-limit", width=1.4, dash=LIMIT_DASH))
    words = _("tolerance, %(tolerance)s° either side") % {"tolerance": f"{tolerance_deg:g}"}
    made.add(text((x + 32.0, y - 3.5), words, name, size=SIZE))
