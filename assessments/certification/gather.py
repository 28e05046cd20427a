"""The facts that rules are held against, read from stored results."""

from collections.abc import Iterable, Sequence
from uuid import UUID

import numpy as np
from django.db.models import F, OuterRef, QuerySet, Subquery

from assessments.certification.facts import AttemptFact, Outcome
from assessments.findings.cancelled import is_cancelled
from assessments.findings.evidence import Evidence
from assessments.models import NoResult, Revision
from coursework.models import Method, Person
from coursework.models.methods import is_by_stars
from solar.ephemeris import declination_and_hour_angle

_NEITHER_HALF = (Method.FIRST_LAST, Method.SHORTEST_SHADOW, Method.EQUAL_SHADOW)
"""Their marks lie on both sides of the sun's noon, or at it."""


def with_assessors(revisions: QuerySet[Revision]) -> QuerySet[Revision]:
    """Each with `checked_by`, the number of the person who logged the attempt first.

    A correction by someone else does not make them the one who checked it in the field.
    """
    first = Revision.objects.filter(attempt=OuterRef("attempt"), number=1)
    return revisions.annotate(checked_by=Subquery(first.values("recorded_by")[:1])).select_related(
        "attempt__exercise", "recorded_by"
    )


def assessed_revisions(
    students: Iterable[Person], keys: Iterable[UUID]
) -> dict[tuple[int, UUID], list[Revision]]:
    """Current revisions of the assessed attempts of students, in order of time; one query.

    By student (primary key) and exercise key; a pair without attempts has an empty list.
    """
    keys, students = list(keys), list(students)
    found: dict[tuple[int, UUID], list[Revision]] = {
        (student.pk, key): [] for student in students for key in keys
    }
    revisions = Revision.objects.filter(
        attempt__current=F("pk"),
        attempt__student__in=students,
        attempt__assessed=True,
        attempt__exercise__key__in=keys,
    )
    for revision in with_assessors(revisions).order_by("observed_at", "pk"):
        attempt = revision.attempt
        found[attempt.student_id, attempt.exercise.key].append(revision)
    return found


def facts_of(revisions: Sequence[Revision]) -> list[AttemptFact]:
    """One fact a revision, in the same order; they come from `with_assessors`."""
    halves = _before_noon(revisions)
    return [
        AttemptFact(
            key=str(revision.attempt.key),
            number=revision.number,
            observed_at=revision.local_observed_at,
            outcome=outcome_of(revision),
            assessor=str(revision.checked_by),
            before_noon=half,
            cancelled=was_cancelled(revision),
            assessed=revision.attempt.assessed,
        )
        for revision, half in zip(revisions, halves, strict=True)
    ]


def outcome_of(revision: Revision) -> Outcome:
    """Giving up is the student's own; a sky that clouds over is nobody's."""
    if revision.no_result == NoResult.GAVE_UP:
        return Outcome.GAVE_UP
    return Outcome(revision.verdict) if revision.verdict else Outcome.NO_RESULT


def was_cancelled(revision: Revision) -> bool:
    """Within only because the method's error cancelled a larger own error, nothing declared."""
    if revision.own_error_deg is None:
        return False
    return is_cancelled(
        Evidence(
            key=str(revision.attempt.key),
            observed_at=revision.observed_at,
            method=revision.method,
            northern=float(revision.inputs["lat"]) >= 0.0,
            error_deg=revision.error_deg,
            method_error_deg=revision.method_error_deg,
            own_error_deg=revision.own_error_deg,
            tolerance_deg=revision.tolerance_deg,
            verdict=revision.verdict,
            judged_on=revision.inputs["judged_on"],
            declared_deg=revision.declared_deg,
        )
    )


def _before_noon(revisions: Sequence[Revision]) -> list[bool | None]:
    """By the sign of the sun's hour angle; None where an exercise has neither half."""
    if not revisions:
        return []
    longitudes = [float(one.inputs.get("lon") or "nan") for one in revisions]
    times = [one.observed_at for one in revisions]
    _declination, hour_angles = declination_and_hour_angle(times, longitude_deg=longitudes)
    return [
        None
        if one.method in _NEITHER_HALF or is_by_stars(one.method) or np.isnan(angle)
        else bool(angle < 0.0)
        for one, angle in zip(revisions, hour_angles, strict=True)
    ]
