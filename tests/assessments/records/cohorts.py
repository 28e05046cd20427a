"""A cohort with as many stored results as wanted, made fast: scored once, copied with the sums."""

from datetime import timedelta
from uuid import uuid4

from assessments.models import Attempt, Revision
from assessments.models.attempts import CURRENT
from assessments.records.summaries import follow
from coursework.models import Person
from tests import builders
from tests.assessments import results


def cohort_of(number: int, *, students: int = 20):
    """A drill whose cohort has `number` results in all, spread over `students`."""
    drill = results.drill()
    lead = builders.lead(drill.cohort)
    members = [builders.student(drill.cohort) for _ in range(students)]
    model = results.attempt(of=drill, by=lead, student=members[0])
    copies_of(model, members, number - 1)
    return drill, lead, members


def copies_of(model: Attempt, members: list[Person], number: int) -> None:
    """Store `number` more results like `model`, each of another error, spread over `members`."""
    drill, first = model.drill, model.current
    attempts = [model]
    for place in range(1, number + 1):
        copy = Attempt(
            key=uuid4(),
            drill=drill,
            exercise=drill.exercise,
            method=model.method,
            student=members[place % len(members)],
            assessed=True,
        )
        attempts.append(copy)
    Attempt.objects.bulk_create(attempts[1:], batch_size=500)
    revisions = []
    fields = [field.attname for field in Revision._meta.concrete_fields if not field.primary_key]
    values = {name: getattr(first, name) for name in fields}
    for place, attempt in enumerate(attempts[1:], start=1):
        turn = (place * 7919) % 21 - 10.0
        revisions.append(
            Revision(
                **values
                | {
                    "attempt_id": attempt.pk,
                    "observed_at": first.observed_at + timedelta(minutes=place),
                    "error_deg": first.error_deg + turn,
                    "own_error_deg": first.own_error_deg + turn,
                    "score_value": first.score_value + turn,
                }
            )
        )
    Revision.objects.bulk_create(revisions, batch_size=500)
    for attempt, revision in zip(attempts[1:], revisions, strict=True):
        attempt.take(revision)
    Attempt.objects.bulk_update(attempts[1:], CURRENT, batch_size=300)
    follow(attempts)
