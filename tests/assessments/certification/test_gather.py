"""Facts read from stored results."""

import pytest

from assessments.certification.facts import Outcome
from assessments.certification.gather import assessed_revisions, facts_of
from assessments.models import Revision
from assessments.services import correct_attempt
from tests.assessments import results
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


def facts(world):
    key = world.skill.exercise_key
    return facts_of(assessed_revisions([world.student], [key])[world.student.pk, key])


def test_a_line_within_the_standard_is_a_fact_on_the_clock_of_its_site():
    world = made.world()
    (fact,) = facts(world)
    assert fact.outcome is Outcome.WITHIN
    assert fact.observed_at.isoformat() == "2025-06-20T09:46:00+02:00"
    assert fact.before_noon is True
    assert not fact.cancelled


def test_the_half_of_the_day_is_told_by_the_sun_and_not_by_the_clock():
    # The sun's noon at 8.18 degrees east on that day is near 13:29 of summer time.
    world = made.world()
    for start, end in (("12:50", "13:06"), ("13:40", "13:56")):
        times = f"2025-06-20T{start}:00+02:00;2025-06-20T{end}:00+02:00"
        made.attempt(world, columns={"times": times})
    assert [fact.before_noon for fact in facts(world)] == [True, True, False]


def test_practice_is_no_fact():
    world = made.world()
    practice = results.drill(cohort=world.cohort, exercise=world.drill.exercise, assessed=False)
    results.attempt(of=practice, by=world.assistant, student=world.student)
    assert len(facts(world)) == 1


def test_the_assessor_is_who_logged_first_whoever_corrected():
    world = made.world()
    correct_attempt(
        by=world.lead,
        attempt=world.attempt,
        observation=results.observation(columns={"reading_deg": "351"}),
        reason="Typed wrongly.",
    )
    (fact,) = facts(world)
    assert fact.number == 2
    assert fact.assessor == str(world.assistant.pk)


@pytest.mark.parametrize(
    ("own_deg", "declared", "cancelled"),
    [(15.0, "", False), (15.1, "", True), (-15.1, "", True), (15.1, "3", False)],
)
def test_a_line_is_flagged_from_past_the_tolerance_unless_the_correction_was_declared(
    own_deg, declared, cancelled
):
    world = made.world()
    revision = Revision.objects.get()
    revision.own_error_deg = own_deg
    revision.inputs["student_correction_deg"] = declared
    revision.save()
    assert facts(world)[0].cancelled is cancelled


@pytest.mark.parametrize(
    ("reason", "outcome"),
    [
        ("gave up", Outcome.GAVE_UP),
        ("cloud", Outcome.NO_RESULT),
        ("safety", Outcome.NO_RESULT),
        ("other", Outcome.NO_RESULT),
    ],
)
def test_an_attempt_without_a_result_counts_only_where_the_student_gave_up(reason, outcome):
    world = made.world()
    Revision.objects.update(
        no_result=reason, verdict="", score_value=None, error_deg=None, own_error_deg=None
    )
    assert facts(world)[0].outcome is outcome
