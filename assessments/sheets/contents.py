"""What stands on a skill sheet.

The data objects hold plain values only, so that a sheet can be made from any record, on
paper the same for the same values.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from assessments.sheets.travel_words import TravelNumbers
from assessments.sheets.words import Numbers
from coursework.models import Method


@dataclass(frozen=True, kw_only=True)
class _Evidence:
    """How results are judged and how many are needed, spread over what.

    `rule` guarded or plain, `judged_on` a value of `JudgedOn`; `attempts_needed` is None where
    one result alone is told about.
    """

    judged_on: str = "result"
    rule: str = "guarded"
    attempts_needed: int | None = None
    distinct_days: int = 1
    forenoon_and_afternoon: bool = False
    distinct_assessors: int = 1


@dataclass(frozen=True, kw_only=True)
class Standard(_Evidence):
    """What the line is held to, degrees."""

    target_deg: float
    tolerance_deg: float


@dataclass(frozen=True, kw_only=True)
class TravelStandard(_Evidence):
    """What a result without a line is held to: the tolerance is in `unit`."""

    method: str
    tolerance: float
    unit: str


@dataclass(frozen=True, kw_only=True)
class Place:
    """Latitude north and longitude east positive, degrees; `skyline` in words."""

    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    zone: str
    skyline: str = ""
    slope_deg: float = 0.0
    downhill_deg: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Record:
    """One attempt as it is printed. `drawing` is that of its score.

    Where `no_result` says why there is none, `numbers` has only method and standard.
    """

    observed_at: datetime
    place: Place
    assessor: str
    numbers: Numbers | TravelNumbers
    drawing: dict
    no_result: str = ""
    observations: tuple[tuple[str, str], ...] = ()
    steps: tuple[str, ...] = ()
    steps_met: tuple[str, ...] = ()
    sky: str = ""
    ground: str = ""
    remark: str = ""
    assessed: bool = True
    sun_azimuth_deg: float | None = None
    sun_elevation_deg: float | None = None
    declination_used_deg: float | None = None
    revision: int = 1
    revision_reason: str = ""
    engine: str = ""
    magnetic_model: str = ""


@dataclass(frozen=True, kw_only=True)
class SkillSheet:
    """One sheet: of one attempt, of all attempts of a student at an exercise, or blank.

    `kind` is "attempt" (one record), "exercise" (records in order of time, none as well), or
    "blank". `drawn` is how many of the last records of an exercise get a drawing each.
    """

    kind: str
    exercise: str
    method: str
    method_name: str
    task: str
    standard: Standard | TravelStandard
    school: str = ""
    course: str = ""
    cohort: str = ""
    student: str = ""
    steps: tuple[str, ...] = ()
    records: tuple[Record, ...] = field(default=())
    drawn: int = 3


def steps_were_noted(steps_met: Sequence[str], method: str) -> bool:
    """A hurried log ticks none: that blames nobody, but for a list that is all there is."""
    return bool(steps_met) or method == Method.CHECKLIST
