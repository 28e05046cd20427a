"""What the same student's line would have done at another hour, on another date, by another method.

The student's part stays as it was; only the method's part is worked out anew.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

import numpy as np
from django.utils.translation import gettext as _

from assessments.models import Revision
from assessments.observations import ROW_COLUMNS
from assessments.scored import refusal_of
from assessments.sheets.words import degrees
from coursework.models import Method
from coursework.models.methods import is_by_sun
from coursework.solar_words import in_words
from coursework.wording import date_format
from solar.bearings import wrap_deg
from solar.clock import ClockError, resolve_local, zone_of
from solar.columns import SUN_METHODS
from solar.daylight import day
from solar.horizon import TerrainHorizon
from solar.scoring import score

HOURS = (-3, -2, -1, 1, 2, 3)
_MARKS_APART = timedelta(minutes=16)


@dataclass(frozen=True, kw_only=True)
class Otherwise:
    """One line that was not laid. Degrees; None with the reason in `refusal` where it cannot be."""

    name: str
    method_error_deg: float | None
    error_deg: float | None
    scatter_deg: float | None = None
    within: bool | None = None
    refusal: str = ""


def at_other_hours(revision: Revision) -> list[Otherwise]:
    """The same line with all its recorded times moved together; none where there are none."""
    if not revision.inputs["times"]:
        return []
    rows, names = [], []
    for hours in HOURS:
        times = [time + timedelta(hours=hours) for time in revision.recorded_times]
        rows.append(_moved(revision, times))
        names.append(f"{times[-1]:%H:%M} ({_hours(hours)})")
    return _scored(revision, rows, names)


def on_date(revision: Revision, other: date) -> Otherwise:
    """The same line at the same hours by the clock of another date."""
    zone = zone_of(revision.inputs["zone"])
    name = date_format(other, "j F Y")
    row = _plain(revision)
    if revision.inputs["times"]:
        times = revision.recorded_times
        try:
            moved = [
                resolve_local(
                    datetime.combine(other + (time.date() - times[0].date()), time.time()), zone
                )
                for time in times
            ]
        except ClockError as error:
            refusal = in_words(error.sentence)
            return Otherwise(name=name, method_error_deg=None, error_deg=None, refusal=refusal)
        row = _moved(revision, moved)
    else:
        row["date"] = other.isoformat()
    return _scored(revision, [row], [name])[0]


def by_other_methods(revision: Revision) -> list[Otherwise]:
    """The same own error laid by the sun's other methods there, as near to that hour as can be."""
    if not is_by_sun(revision.method):
        return []
    methods = [method for method in SUN_METHODS if method != revision.method]
    rows = [_by(revision, method) for method in methods]
    names = [
        f"{Method(method).label} ({words})"
        for method, (_row, words) in zip(methods, rows, strict=True)
    ]
    return _scored(revision, [row for row, _words in rows], names)


def sentence(revision: Revision, other: Otherwise) -> str:
    """What would have come of it, in words: nothing where the student's own error is judged."""
    if other.error_deg is None:
        return other.refusal
    if revision.is_judged_on_own:
        return ""
    if other.within:
        said = _("The result would have been nearer than the tolerance of %(tolerance)s.")
    else:
        said = _("The result would have been farther off than the tolerance of %(tolerance)s.")
    return said % {"tolerance": degrees(revision.tolerance_deg)}


def _hours(hours: int) -> str:
    if abs(hours) == 1:
        return _("an hour later") if hours > 0 else _("an hour earlier")
    words = _("%(n)s hours later") if hours > 0 else _("%(n)s hours earlier")
    return words % {"n": abs(hours)}


def _plain(revision: Revision) -> dict[str, str]:
    """The inputs with a check that only the engine's form asks for, and no half of the day."""
    names = ("check_time", "correction_deg", "declination_deg", "landmark_deg")
    checked = dict.fromkeys((*names, "landmark_u_deg", "reading_u_deg"), "")
    return revision.inputs | checked | {"half": "", "check": "direct", "reading_deg": "0"}


def _moved(revision: Revision, times: Sequence[datetime]) -> dict[str, str]:
    return _plain(revision) | {"times": ";".join(time.isoformat() for time in times)}


def _by(revision: Revision, method: str) -> tuple[dict[str, str], str]:
    """The row of another method at the same place, and when it would be done, in words."""
    at = revision.local_observed_at.replace(microsecond=0)
    row = _plain(revision) | {
        "method": method,
        "times": at.isoformat(),
        "date": "",
        "order": "",
        "hands": "",
        "degrees_per_hand": "",
        "rule_deg_per_hand": "",
        "summer_time": "",
    }
    same = _("at the same hour, %(time)s") % {"time": f"{at:%H:%M}"}
    if method == Method.SHADOW_TIP:
        row["times"] = f"{(at - _MARKS_APART).isoformat()};{at.isoformat()}"
        return row, same
    if method == Method.FIRST_LAST:
        return row | {"times": "", "date": at.date().isoformat(), "order": "day"}, _("that day")
    if method == Method.HANDS:
        # The method's part does not depend on the count.
        return row | {"hands": "3"}, same
    if method == Method.SHORTEST_SHADOW:
        noon = _noon(revision, at.date())
        return row | {"times": noon.isoformat()}, _("at the sun’s noon, %(time)s") % {
            "time": f"{noon:%H:%M}"
        }
    return row, same


def _noon(revision: Revision, of: date) -> datetime:
    found = day(
        of,
        latitude_deg=float(revision.inputs["lat"]),
        longitude_deg=float(revision.inputs["lon"]),
        elevation_m=float(revision.inputs["elevation_m"]),
        zone=zone_of(revision.inputs["zone"]),
        horizon=TerrainHorizon.parse(revision.inputs["horizon"]),
    )
    noon = found.noon[0] if isinstance(found.noon, tuple) else found.noon
    return noon.replace(microsecond=0)


def _scored(
    revision: Revision, rows: Sequence[dict[str, str]], names: Sequence[str]
) -> list[Otherwise]:
    """All at once. The result moves by as much as the method's part does."""
    if not rows:
        return []
    scores = score({name: [row.get(name, "") for row in rows] for name in ROW_COLUMNS})
    found = []
    for i, (row, name) in enumerate(zip(rows, names, strict=True)):
        if scores.columns["problem"][i]:
            refused = refusal_of(scores, i, row, 0)
            found.append(
                Otherwise(
                    name=name, method_error_deg=None, error_deg=None, refusal=refused.sentence
                )
            )
            continue
        part = float(scores.columns["method_error_deg"][i])
        error = float(wrap_deg(revision.error_deg + part - revision.method_error_deg))
        scatter = float(scores.columns["marking_scatter_deg"][i])
        found.append(
            Otherwise(
                name=name,
                method_error_deg=part,
                error_deg=error,
                scatter_deg=None if np.isnan(scatter) else scatter,
                within=abs(error) <= revision.tolerance_deg,
            )
        )
    return found
