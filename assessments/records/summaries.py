"""The sums that cohort pages read, made again from the results whenever a score is stored."""

import math
from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction
from django.db.models import Q, QuerySet

from assessments.models import Attempt, NoResult, RecordSummary
from assessments.records.moments import Moments
from coursework.models import Cohort, Unit
from coursework.models.methods import is_by_sun
from solar.circular import is_swapped

STEP = 0.1
"""Margins are counted in steps of a tenth of the unit: exact for tolerances in tenths."""
GAVE_UP, NO_RESULT = "gave up", "no result"
"""Outcomes beside the verdicts."""
MOST_KEPT = 50
"""The largest number of attempts, days or assessors that a standard can ask for."""

_COLUMNS = {
    "cohort": "drill__cohort_id",
    "student": "student_id",
    "exercise": "exercise__key",
    "method": "method",
    "key": "key",
    "number": "pk",
    "alone": "drill__practised_by_id",
    "assessed": "assessed",
    "observed_at": "current__observed_at",
    "assessor": "current__recorded_by_id",
    "instrument": "current__instrument_id",
    "verdict": "current__verdict",
    "reason": "current__no_result",
    "value": "current__score_value",
    "unit": "current__score_unit",
    "expanded_u": "current__score_expanded_u",
    "error": "current__error_deg",
    "own": "current__own_error_deg",
    "azimuth": "current__sun_azimuth_deg",
    "zone": "current__inputs__zone",
    "rule": "current__inputs__rule",
    "judged_on": "current__inputs__judged_on",
    "tolerance": "current__inputs__tolerance_deg",
    "check": "current__inputs__check",
    "latitude": "current__inputs__lat",
    "declared": "current__inputs__student_correction_deg",
}
Place = tuple[int, int, UUID, str]


@dataclass(frozen=True, kw_only=True)
class Stored:
    """One stored result as the sums need it; None where a quantity does not belong to it."""

    cohort: int
    student: int
    exercise: UUID
    method: str
    key: UUID
    number: int
    alone: int | None
    assessed: bool
    observed_at: datetime
    assessor: int
    instrument: int | None
    verdict: str
    reason: str
    value: float | None
    unit: str
    expanded_u: float | None
    error: float | None
    own: float | None
    azimuth: float | None
    zone: str
    rule: str
    judged_on: str
    tolerance: str | None
    check: str | None
    latitude: str
    declared: str | None

    @property
    def is_checked(self) -> bool:
        """Whether someone else than the student checked it."""
        return self.alone is None and self.assessor != self.student

    @property
    def outcome(self) -> str:
        """The verdict; without a result, whether the student gave up."""
        if self.reason:
            return GAVE_UP if self.reason == NoResult.GAVE_UP else NO_RESULT
        return self.verdict

    @property
    def place(self) -> Place:
        return self.cohort, self.student, self.exercise, self.method

    @property
    def before_noon(self) -> bool | None:
        """Forenoon or afternoon by the sun's side of the meridian; None by the stars."""
        if self.azimuth is None or not is_by_sun(self.method):
            return None
        return self.azimuth < 180.0

    @property
    def cancelled(self) -> bool:
        """Within only because the method's error cancelled a larger one of the student's."""
        return (
            self.verdict == "within"
            and self.own is not None
            and self.judged_on == "result"
            and not self.declared
            and abs(self.own) > float(self.tolerance)
        )

    @property
    def guard(self) -> float:
        return self.expanded_u if self.rule != "plain" else 0.0


def read(attempts: QuerySet[Attempt]) -> list[Stored]:
    """The results, also those without a score, in one query, in order of time."""
    rows = attempts.filter(current__isnull=False).order_by("current__observed_at", "pk")
    names = tuple(_COLUMNS)
    return [
        Stored(**dict(zip(names, row, strict=True))) for row in rows.values_list(*_COLUMNS.values())
    ]


def follow(attempts: Iterable[Attempt]) -> None:
    """Make the sums true again that the given results are part of.

    Called by whatever stores a score, in its transaction. Four queries, however many there are.
    """
    pks = [attempt.pk for attempt in attempts]
    if not pks:
        return
    places = set(
        Attempt.objects.filter(pk__in=pks)
        .order_by()
        .values_list("drill__cohort", "student", "exercise__key", "method")
    )
    _make(places)


def rebuild(summaries: QuerySet[RecordSummary]) -> None:
    """Make sums again, or remove them where no result is left."""
    _make(set(summaries.values_list("cohort", "student", "exercise_key", "method")))


@transaction.atomic(savepoint=False)
def _make(places: Collection[Place]) -> None:
    if not places:
        return
    cohorts, students, exercises, methods = map(set, zip(*places, strict=True))
    _wait_for_others(cohorts)
    rows: dict[Place, list[Stored]] = {place: [] for place in places}
    wanted = Attempt.objects.filter(
        drill__cohort__in=cohorts,
        student__in=students,
        exercise__key__in=exercises,
        method__in=methods,
    )
    for row in read(wanted):
        # The four columns cross: some of what they pick belongs to sums that did not change.
        if row.place in rows:
            rows[row.place].append(row)
    made = [summary_of(place, found) for place, found in rows.items() if found]
    fields = [field.name for field in RecordSummary._meta.concrete_fields]
    unique = ["cohort", "student", "exercise_key", "method"]
    RecordSummary.objects.bulk_create(
        made,
        update_conflicts=True,
        unique_fields=unique,
        update_fields=[name for name in fields if name not in {"id", *unique}],
        batch_size=200,
    )
    empty = Q()
    for cohort, student, exercise, method in (place for place in rows if not rows[place]):
        empty |= Q(cohort=cohort, student=student, exercise_key=exercise, method=method)
    if empty:
        RecordSummary.objects.filter(empty).delete()


def _wait_for_others(cohorts: set[int]) -> None:
    """Let whoever stores results of these cohorts finish first.

    Two that store at once would each make sums without the other's result. In order, so that they
    do not wait for one another; rows that point to a cohort can still be added meanwhile.
    """
    locked = Cohort.objects.order_by("pk").select_for_update(no_key=True)
    list(locked.filter(pk__in=cohorts).values_list("pk"))


def summary_of(place: Place, rows: list[Stored]) -> RecordSummary:
    """The sums over one student's results at one exercise, not saved.

    What came to no result is in the outcomes alone.
    """
    cohort, student, exercise, method = place
    scored = [row for row in rows if not row.reason]
    checked = [row for row in scored if row.is_checked]
    assessed = [row for row in checked if row.assessed]
    without = [row for row in rows if row.reason and row.is_checked and row.assessed]
    lines = [row for row in checked if row.own is not None]
    sound = [row for row in lines if not is_swapped(row.own)]
    return RecordSummary(
        cohort_id=cohort,
        student_id=student,
        exercise_key=exercise,
        method=method,
        count=len(checked),
        practised=len(scored) - len(checked),
        swapped=len(lines) - len(sound),
        last_at=max((row.observed_at for row in scored), default=None),
        outcomes=dict(Counter(row.outcome for row in assessed + without)),
        kept=_kept(assessed),
        own_sums=Moments.of(row.own for row in sound).to_list(),
        checks=_checks(sound),
        margins=_counted(abs(row.value) + row.guard for row in _measured(assessed)),
        clear_margins=_counted(abs(row.value) - row.guard for row in _measured(assessed)),
    )


def _measured(rows: list[Stored]) -> list[Stored]:
    return [row for row in rows if row.unit != Unit.STEPS]


def _counted(values: Iterable[float]) -> dict[str, int]:
    """How many by the smallest tenth that is not below them."""
    return dict(Counter(str(math.ceil(round(value / STEP, 6))) for value in values))


def _kept(assessed: list[Stored]) -> list[dict]:
    """Results within the standard, the newest first: as many as any standard can ask for, and
    of the older ones those that bring a day, a half of the day or an assessor of their own."""
    kept, seen = [], set()
    for row in reversed([row for row in assessed if row.verdict == "within"]):
        fact = {
            "key": str(row.key),
            "number": row.number,
            "observed_at": row.observed_at.isoformat(),
            "zone": row.zone,
            "assessor": row.assessor,
            "before_noon": row.before_noon,
            "cancelled": row.cancelled,
        }
        brings = {("day", fact["observed_at"][:10]), ("half", row.before_noon)}
        brings.add(("assessor", row.assessor))
        if len(kept) < MOST_KEPT or (brings - seen and len(kept) < 3 * MOST_KEPT):
            kept.append(fact)
            seen |= brings
    return kept


def _checks(sound: list[Stored]) -> list[list]:
    """Sums of own errors by who checked with what: [assessor, tool, count, sum, squares]."""
    cells: dict[tuple[int, str], list[float]] = {}
    for row in sound:
        tool = f"#{row.instrument}" if row.instrument else str(row.check)
        cell = cells.setdefault((row.assessor, tool), [0, 0.0, 0.0])
        cell[0] += 1
        cell[1] += row.own
        cell[2] += row.own**2
    return [[*name, *sums] for name, sums in cells.items()]
