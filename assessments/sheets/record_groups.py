"""Own errors in groups, one row each: every line a tick, their mean with its interval."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing

from assessments.sheets.lettering import PAPER, Lettering
from assessments.sheets.record_axes import SIZE, Legend, diamond, step_of, top_of, words_width
from assessments.sheets.shapes import backing, grey, line, tag, text
from solar.circular import Summary

WIDTH = 352.0
MOST_TICKS = 30
_LEFT, _RIGHT, _ROW = 18.0, 18.0, 32.0
_CUT_DEG = 60.0


@dataclass(frozen=True)
class StripRow:
    """A name, the errors of its lines (degrees) and their statistics, None where there are none."""

    name: str
    errors_deg: tuple[float, ...]
    found: Summary | None


def strips_drawing(
    rows: Sequence[StripRow], *, width: float = WIDTH, lettering: Lettering = PAPER
) -> Drawing:
    """At least one row; what lies beyond the drawing is a tick at its edge."""
    size, part = lettering.chart, lettering.chart / SIZE
    crowded = any(len(row.errors_deg) > MOST_TICKS for row in rows)
    entries = [
        ("tick", _("one line (the newest 30)") if crowded else _("one line")),
        ("interval", _("mean with 95 % interval")),
    ]
    key = Legend(entries, left=_LEFT, width=width - _LEFT - _RIGHT, lettering=lettering)
    row_height = _ROW * part
    height = row_height * len(rows) + 26.0 * part + key.height
    made = tag(Drawing(width, height), "record-strips")
    sizes = [min(abs(error), _CUT_DEG) for row in rows for error in row.errors_deg]
    limit = top_of([*sizes, 5.0])
    middle, scale = width / 2.0, (width - _LEFT - _RIGHT) / 2.0 / limit

    def x(degrees: float) -> float:
        return middle + max(-limit, min(limit, degrees)) * scale

    for shape in key.shapes(height):
        made.add(shape)
    top, bottom = height - key.height, 22.0 * part
    step = step_of(limit)
    for level in range(-round(limit / step), round(limit / step) + 1):
        name, thick = ("record-zero", 1.0) if level == 0 else ("record-level", 0.4)
        ends = (x(level * step), bottom), (x(level * step), top - 10.0)
        made.add(line(*ends, name, width=thick, colour=grey(0.0 if level == 0 else 0.6)))
        words = f"{abs(level * step):g}°"
        at = (x(level * step), 10.0 * part)
        made.add(text(at, words, "record-text", size=size - 1.0, anchor="middle"))
    made.add(text((_LEFT - 14.0, 0.0), _("left"), "record-text", size=size - 1.0))
    at = (width - _RIGHT + 14.0, 0.0)
    made.add(text(at, _("right"), "record-text", size=size - 1.0, anchor="end"))
    for number, row in enumerate(rows):
        y = top - row_height * (number + 1) + 7.0
        words = f"{row.name} ({len(row.errors_deg)})"
        wide = words_width(words, size, bold=True) + 4.0
        made.add(backing(_LEFT - 2.0, y + 7.5, wide, size + 2.0))
        made.add(text((_LEFT, y + 10.5), words, "record-text", size=size, bold=True))
        made.add(line((x(-limit), y), (x(limit), y), "record-level", width=0.4, colour=grey(0.6)))
        for error in row.errors_deg[-MOST_TICKS:]:
            made.add(line((x(error), y - 5.5), (x(error), y + 5.5), "record-tick", width=0.9))
        found = row.found
        if found is None or found.mean_deg is None:
            continue
        if found.half_width_deg is not None:
            low, high = found.mean_deg - found.half_width_deg, found.mean_deg + found.half_width_deg
            made.add(line((x(low), y), (x(high), y), "record-interval", width=3.0))
        made.add(diamond((x(found.mean_deg), y), 4.8, "record-own"))
    return made
