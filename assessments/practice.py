"""Students' own practice, logged alone between drills: scored and shown, never counted."""

import uuid
from datetime import datetime, timedelta

from django.core.exceptions import PermissionDenied
from django.db import transaction

from assessments import policies
from assessments.models import Attempt
from assessments.observations import Observation
from assessments.services import record_attempt
from coursework.models import Cohort, Drill, Exercise, Person, Site

_MINUTES = 60


def practice_drill(
    by: Person, *, cohort: Cohort, exercise: Exercise, site: Site, starts_at: datetime
) -> Drill:
    """What a student sets themself, not saved.

    PermissionDenied unless the student is in the cohort, the exercise is of its course and the
    site of its school.
    """
    allowed = (
        policies.practised_cohorts(by).filter(pk=cohort.pk).exists()
        and exercise.course_id == cohort.course_id
        and policies.practice_sites(by).filter(pk=site.pk).exists()
    )
    if not allowed:
        raise PermissionDenied
    return Drill(
        cohort=cohort,
        exercise=exercise,
        site=site,
        starts_at=starts_at,
        minutes=_MINUTES,
        assessed=False,
        practised_by=by,
    )


@transaction.atomic
def practise(
    by: Person, *, drill: Drill, observation: Observation, key: uuid.UUID, now=None
) -> Attempt:
    """Store what `by` practised alone; the same key sent twice gives the result it has.

    `drill` is one of `practice_drill`. Refused as `services.record_attempt` refuses.
    """
    known = Attempt.objects.filter(key=key, student=by).select_related("drill").first()
    if known is not None:
        drill = known.drill
    else:
        drill.save()
    attempt = record_attempt(
        by=by, drill=drill, student=by, observation=observation, key=key, now=now
    )
    if known is None:
        # The hour it was practised at, where it was entered later.
        drill.starts_at = attempt.current.observed_at - timedelta(minutes=_MINUTES)
        drill.save(update_fields=["starts_at"])
    return attempt
