"""Where the shadow of an upright stick points at each hour, on a rose of degrees, north up."""

import math
from collections.abc import Iterable

from reportlab.graphics.shapes import Drawing

from assessments.sheets import fonts, rose
from assessments.sheets.drawing_words import DrawingWords
from assessments.sheets.furniture import foot, north_arrow
from assessments.sheets.lettering import PAPER
from assessments.sheets.shapes import at_bearing, line, tag, text
from solar.bearings import difference_deg
from solar.suntable import SunRow

_SIZE = 10.0
_STEP = 12.0
# Nearer than this, hours would be written over one another.
_NEAR_DEG = 7.5


def shadow_rose(rows: Iterable[SunRow], *, side: float) -> Drawing:
    """`side` points wide and high. A line for each whole hour at which there is a shadow."""
    labels = DrawingWords.current()
    hours = [row for row in rows if row.time.minute == 0 and math.isfinite(row.shadow_length)]
    names = _names(hours)
    levels = _levels([bearing for bearing, _name in names])
    out = 14.0 + _STEP * (max(levels, default=0) + 1)
    radius, centre = side / 2 - PAPER.band - out, (side / 2, side / 2)
    outer = radius + PAPER.band
    made = tag(Drawing(side, side), "shadow-rose")
    for row in hours:
        bearing = row.shadow_bearing_deg
        # The band of degrees in between stays clear.
        for start, end in ((0.0, radius), (outer, outer + 4.0)):
            ends = at_bearing(centre, bearing, start), at_bearing(centre, bearing, end)
            made.add(line(*ends, "shadow-hour", width=1.3))
    for part in rose.band(centre, radius, labels.letters):
        made.add(part)
    for (bearing, name), level in zip(names, levels, strict=True):
        x, y = at_bearing(centre, bearing, outer + 12.0 + _STEP * level)
        half = fonts.text_width(name, _SIZE) / 2
        # Beside the rim a long name grows outwards.
        x += max(0.0, half - 6.0) * math.sin(math.radians(bearing))
        made.add(text((x, y - 3.5), name, "shadow-name", size=_SIZE, anchor="middle"))
    for part in foot(centre):
        made.add(part)
    for part in north_arrow((10.0, side - 30.0), labels.true_north):
        made.add(part)
    return made


def _names(hours: list[SunRow]) -> list[tuple[float, str]]:
    """Bearings with the hours that are named there; near ones that follow share a name."""
    groups: list[list[SunRow]] = []
    for row in hours:
        if groups and _apart(row.shadow_bearing_deg, groups[-1][0].shadow_bearing_deg) < _NEAR_DEG:
            groups[-1].append(row)
        else:
            groups.append([row])
    found = []
    for group in groups:
        first, last = group[0], group[-1]
        name = f"{first.time:%H}" if len(group) == 1 else f"{first.time:%H}–{last.time:%H}"
        half_turn = difference_deg(last.shadow_bearing_deg, first.shadow_bearing_deg) / 2.0
        found.append((float(first.shadow_bearing_deg + half_turn), name))
    return found


def _apart(one_deg: float, other_deg: float) -> float:
    return abs(float(difference_deg(one_deg, other_deg)))


def _levels(bearings: list[float]) -> list[int]:
    """How far out each name is written: the first free place among its near ones."""
    levels: list[int] = []
    for n, bearing in enumerate(bearings):
        taken = {levels[m] for m in range(n) if _apart(bearing, bearings[m]) < _NEAR_DEG}
        levels.append(next(level for level in range(n + 1) if level not in taken))
    return levels
