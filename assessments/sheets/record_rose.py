"""A rose of own errors: how often to which side, with the mean direction and its interval."""

from collections import Counter
from collections.abc import Sequence

from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing

from assessments.sheets.lettering import PAPER, Lettering
from assessments.sheets.record_axes import Legend
from assessments.sheets.shapes import (
    arrow_head,
    at_bearing,
    circle,
    grey,
    line,
    polyline,
    sector,
    tag,
    text,
)
from solar.circular import Summary, is_swapped

SIDE = 300.0
BIN_DEG = 10.0
_RADIUS = 0.32  # of the width


def error_rose(
    errors_deg: Sequence[float],
    *,
    found: Summary | None,
    tolerance_deg: float | None = None,
    width: float = SIDE,
    lettering: Lettering = PAPER,
) -> Drawing:
    """Errors (at least one, degrees, to the right positive) from the middle of the top.

    The area of a sector goes by the number in it. found: of those not laid end for end; the
    arrow is as long as their mean resultant length.
    """
    entries = [("own", _("sectors: area by number"))]
    if found is not None and found.mean_deg is not None:
        entries = [("mean", _("arrow: mean, as long as it is sure"))]
    out = _RADIUS * width
    key = Legend(entries, left=10.0, width=width - 20.0, lettering=lettering)
    height = 2.0 * out + 62.0 + key.height
    made = tag(Drawing(width, height), "record-rose")
    centre = (width / 2.0, height - 30.0 - out)
    for part in (0.5, 1.0):
        made.add(circle(centre, out * part, "record-level", width=0.5))
    for bearing in range(0, 360, 45):
        end = at_bearing(centre, bearing, out)
        made.add(line(centre, end, "record-level", width=0.4, colour=grey(0.6)))
    counts = Counter(round(error / BIN_DEG) % round(360.0 / BIN_DEG) for error in errors_deg)
    most = max(counts.values())
    for number, count in sorted(counts.items()):
        middle, radius = number * BIN_DEG, out * (count / most) ** 0.5
        name = "record-sector" + (
            " record-odd" if is_swapped(middle - 360.0 * (middle > 180.0)) else ""
        )
        made.add(sector(centre, radius, middle - BIN_DEG / 2.0, middle + BIN_DEG / 2.0, name))
    if tolerance_deg is not None and tolerance_deg < 180.0:
        for sign in (-1.0, 1.0):
            end = at_bearing(centre, sign * tolerance_deg, out + 6.0)
            made.add(line(centre, end, "record-limit", width=1.0, dash=[2.0, 2.5]))
    if found is not None and found.mean_deg is not None:
        tip = at_bearing(centre, found.mean_deg, out * found.resultant_length)
        made.add(line(centre, tip, "record-mean", width=2.0))
        made.add(arrow_head(tip, found.mean_deg, "record-mean", size=9.0))
        if found.half_width_deg is not None:
            steps = [found.mean_deg + found.half_width_deg * n / 12.0 for n in range(-12, 13)]
            arc = [at_bearing(centre, step, out + 6.0) for step in steps]
            made.add(polyline(arc, "record-interval", width=3.2))
    for bearing, words in (
        (0.0, _("no error")),
        (90.0, _("90° right")),
        (180.0, _("180°, end for end")),
        (270.0, _("90° left")),
    ):
        x, y = at_bearing(centre, bearing, out + (13.0 if bearing % 180.0 else 11.0))
        anchor = {90.0: "start", 270.0: "end"}.get(bearing, "middle")
        if bearing == 180.0:
            y -= lettering.chart * 0.8
        elif bearing:
            x += -8.0 if bearing == 90.0 else 8.0
        # Beside the rose the side stands below its angle.
        lines = words.split(maxsplit=1) if lettering.breaks and bearing % 180.0 else [words]
        for n, part in enumerate(lines):
            at, size = (x, y - n * 1.2 * lettering.chart), lettering.chart
            made.add(text(at, part, "record-text", size=size, anchor=anchor))
    for shape in key.shapes(key.height):
        made.add(shape)
    return made
