"""What an assessor records of one attempt, and the batch row it makes with drill and standard."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from coursework.models import Drill, Instrument, Method, Person, ReferenceMark
from coursework.models.methods import is_travel
from solar.clock import resolve_local, zone_of

OBSERVED_COLUMNS = (
    "times",
    "date",
    "order",
    "hands",
    "degrees_per_hand",
    "rule_deg_per_hand",
    "half",
    "stick_m",
    "mark_u_mm",
    "student_correction_deg",
    "summer_time",
    "check",
    "reading_deg",
    "check_time",
    "correction_deg",
    "declination_deg",
    "landmark_deg",
    "landmark_u_deg",
    "reading_u_deg",
)
"""The columns of a line that the assessor fills in."""

BLANK_MEANS = {"stick_m": "1", "mark_u_mm": "5", "rule_deg_per_hand": "15"}
"""What the batch format takes where these are left blank."""

SETTING_COLUMNS = (
    "method",
    "lat",
    "lon",
    "elevation_m",
    "zone",
    "slope_deg",
    "downhill_deg",
    "horizon",
    "target_deg",
    "tolerance_deg",
    "judged_on",
    "rule",
)
"""The columns that come from the drill's site and exercise, and stay as they were that day."""

ROW_COLUMNS = ("attempt", *SETTING_COLUMNS, *OBSERVED_COLUMNS)

_MEASURED = ("measured_m", "measured_u_m", "measured_u_percent")
TRAVEL_COLUMNS: dict[str, tuple[str, ...]] = {
    Method.PACE_COUNT: ("paces", "paces_per_100_m", *_MEASURED),
    Method.DISTANCE: ("told_m", *_MEASURED),
    Method.LEG: (
        "start_lat",
        "start_lon",
        "goal_lat",
        "goal_lon",
        "point_u_m",
        "arrival_lat",
        "arrival_lon",
        "arrival_u_m",
    ),
    Method.POSITION: ("true_lat", "true_lon", "point_u_m", "plotted_lat", "plotted_lon"),
    Method.CHECKLIST: (),
}
"""What the assessor fills in beside the time where no line is laid, by method."""

TRAVEL_SETTING_COLUMNS = (
    "method",
    "lat",
    "lon",
    "elevation_m",
    "zone",
    "tolerance",
    "judged_on",
    "rule",
)
"""The setting of such a result; its tolerance is in the unit of the method."""


@dataclass(frozen=True, kw_only=True)
class Observation:
    """One attempt as observed and checked.

    `columns` holds texts of the batch format by column name (`observed_columns` of the method;
    one left out is blank). The instrument gives its correction and reading uncertainty, and the
    reference mark its bearing and how sure that is, wherever the columns leave those blank.
    `no_result` (a value of `NoResult`) takes the place of all that was checked: of the columns
    it leaves the time, and blank means the time of logging or the end of the drill before it.
    """

    columns: Mapping[str, str]
    no_result: str = ""
    instrument: Instrument | None = None
    mark: ReferenceMark | None = None
    steps_met: tuple[str, ...] = ()
    sky: str = ""
    ground: str = ""
    remark: str = ""

    def filled(self, method: str = "", student: Person | None = None) -> dict[str, str]:
        """All columns observed for the method, those of instrument and mark filled in.

        `student` gives the paces for 100 m, as counted before, where the columns leave them blank.
        """
        names = observed_columns(method)
        unknown = set(self.columns) - set(names)
        if unknown:
            raise ValueError(f"not columns of an observation: {', '.join(sorted(unknown))}")
        row = {name: str(self.columns.get(name, "")).strip() for name in names}
        if self.no_result:
            return dict.fromkeys(names, "") | {"times": row["times"]}
        if method == Method.PACE_COUNT and not row["paces_per_100_m"] and student is not None:
            known = student.paces_per_100_m
            row["paces_per_100_m"] = "" if known is None else number_text(known)
        if is_travel(method):
            return row
        if self.instrument is not None:
            if row["check"] == "compass" and not row["correction_deg"]:
                row["correction_deg"] = number_text(self.instrument.correction_deg)
            if not row["reading_u_deg"]:
                row["reading_u_deg"] = number_text(self.instrument.reading_u_deg)
        if self.mark is not None and not row["landmark_deg"]:
            row["landmark_deg"] = number_text(self.mark.bearing_deg)
            row["landmark_u_deg"] = row["landmark_u_deg"] or number_text(self.mark.bearing_u_deg)
        return row


def observed_columns(method: str) -> tuple[str, ...]:
    """What the assessor fills in for a method; without one, for a line that is laid."""
    return ("times", *TRAVEL_COLUMNS[Method(method)]) if is_travel(method) else OBSERVED_COLUMNS


def setting_columns(method: str) -> tuple[str, ...]:
    """What comes from site and exercise, and stays as it was that day."""
    return TRAVEL_SETTING_COLUMNS if is_travel(method) else SETTING_COLUMNS


def number_text(value: float) -> str:
    """A number as the batch format writes it: no exponent, no trailing zeros."""
    text = f"{value:.9f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def local_time(word: str, zone: str) -> datetime:
    """A time of the batch format on the clock of `zone`; without an offset it is read there."""
    time = datetime.fromisoformat(word)
    if time.tzinfo is None:
        time = resolve_local(time, zone_of(zone))
    return time.astimezone(zone_of(zone))


def setting_of(drill: Drill) -> dict[str, str]:
    """The batch columns of the drill's place and standard, as they stand now."""
    site, exercise = drill.site, drill.exercise
    setting = {
        "method": exercise.method,
        "lat": number_text(site.latitude_deg),
        "lon": number_text(site.longitude_deg),
        "elevation_m": number_text(site.elevation_m),
        "zone": site.zone,
        "slope_deg": number_text(site.slope_deg),
        "downhill_deg": number_text(site.downhill_deg),
        "horizon": site.horizon,
        "target_deg": number_text(exercise.target_deg),
        "tolerance_deg": number_text(exercise.tolerance),
        "judged_on": exercise.judged_on,
        "rule": exercise.rule,
    }
    setting["tolerance"] = setting["tolerance_deg"]
    return {name: setting[name] for name in setting_columns(exercise.method)}


def facts_of(drill: Drill) -> dict[str, Any]:
    """Names and wording that a record keeps as they stood when it was made."""
    course = drill.cohort.course
    return {
        "school": course.school.name,
        "course": course.title,
        "cohort": drill.cohort.name,
        "exercise": drill.exercise.title,
        "task": drill.exercise.task,
        "steps": drill.exercise.step_list,
        "site": drill.site.name,
        "drill_starts_at": drill.starts_at.isoformat(),
    }
