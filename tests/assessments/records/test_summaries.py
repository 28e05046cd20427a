"""Sums stay those of the results, whatever stores a score."""

import uuid
from datetime import date

import pytest

from assessments import practice
from assessments.models import Attempt, RecordSummary
from assessments.observations import Observation
from assessments.records import summaries
from assessments.records.cohort import CohortRecord
from assessments.records.moments import Moments
from assessments.services import correct_attempt, record_attempt
from assessments.traces import practice as going
from assessments.traces import remove_attempts
from tests import builders
from tests.assessments import results
from tests.assessments.records import made

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    return made.class_of(tolerance=10.0, judged_on="own")


def only() -> RecordSummary:
    return RecordSummary.objects.get()


def test_storing_results_makes_their_sums(world):
    drill, lead, student = world
    made.lines(student, [1.0, 2.0, 178.0], drill=drill, by=lead)
    found = only()
    assert (found.count, found.swapped, found.practised) == (3, 1, 0)
    own = Moments.from_list(found.own_sums).summary()
    assert own.mean_deg == pytest.approx(1.5, abs=1e-3)
    assert sum(found.outcomes.values()) == 3


def test_a_correction_changes_the_sums(world):
    drill, lead, student = world
    (attempt,) = made.lines(student, [1.0], drill=drill, by=lead)
    inputs = attempt.current.inputs
    columns = {name: inputs[name] for name in ("times", "check")}
    reading = str((float(inputs["reading_deg"]) + 4.0) % 360.0)
    corrected = results.observation(columns=columns | {"reading_deg": reading})
    correct_attempt(by=lead, attempt=attempt, observation=corrected, reason="Misread.")
    mean = Moments.from_list(only().own_sums).summary().mean_deg
    assert mean == pytest.approx(5.0, abs=1e-3)
    assert only().count == 1


def test_sums_of_one_student_leave_those_of_another_alone(world):
    drill, lead, student = world
    made.lines(student, [1.0], drill=drill, by=lead)
    before = only()
    made.lines(builders.student(drill.cohort), [9.0], drill=drill, by=lead)
    after = RecordSummary.objects.get(pk=before.pk)
    assert after.own_sums == before.own_sums
    assert RecordSummary.objects.count() == 2


def test_made_again_they_are_the_same(world):
    drill, lead, student = world
    made.lines(student, [1.0, -3.0, 12.0], drill=drill, by=lead)
    fields = ("count", "swapped", "outcomes", "kept", "own_sums", "checks", "margins")
    before = RecordSummary.objects.values(*fields).get()
    summaries.rebuild(RecordSummary.objects.all())
    assert RecordSummary.objects.values(*fields).get() == before


def test_sums_go_with_their_last_result(world):
    drill, lead, student = world
    drill.assessed = False
    drill.save()
    made.lines(student, [1.0], drill=drill, by=lead)
    remove_attempts(going(Attempt.objects.filter(student=student)))
    summaries.rebuild(RecordSummary.objects.all())
    assert not RecordSummary.objects.exists()


def test_what_a_student_logs_alone_is_in_no_sum_but_its_own_count(world):
    drill, lead, student = world
    made.lines(student, [1.0], drill=drill, by=lead)
    alone = practice.practice_drill(
        student,
        cohort=drill.cohort,
        exercise=drill.exercise,
        site=drill.site,
        starts_at=results.JUNE_MORNING,
    )
    practice.practise(student, drill=alone, observation=results.observation(), key=uuid.uuid4())
    found = only()
    assert (found.count, found.practised) == (1, 1)
    assert Moments.from_list(found.own_sums).count == 1
    assert sum(found.margins.values()) == 1


@pytest.mark.parametrize("rule", ["guarded", "plain"])
def test_the_pass_rate_at_the_tolerance_of_the_standard_is_that_of_the_verdicts(rule):
    drill, lead, student = made.class_of(tolerance=6.0, judged_on="own", rule=rule)
    owns = [0.0, 1.0, -3.0, 5.9, 6.0, -6.1, 7.0, 30.0, 5.0, -5.5]
    made.lines(student, owns, drill=drill, by=lead)
    verdicts = list(Attempt.objects.values_list("current__verdict", flat=True))
    rate = CohortRecord(drill.cohort).pass_rate(drill.exercise, 6.0)
    assert rate.within == verdicts.count("within")
    assert rate.outside == verdicts.count("outside")
    assert rate.close == verdicts.count("too close to call")


def test_a_wider_tolerance_lets_more_results_through(world):
    drill, lead, student = world
    made.lines(student, [0.0, 12.0, 25.0], drill=drill, by=lead)
    record = CohortRecord(drill.cohort)
    shares = [record.pass_rate(drill.exercise, tolerance).within for tolerance in (5, 15, 30)]
    assert shares == [1, 2, 3]


def test_what_is_missing_is_said_first_and_marks_in_words(world):
    drill, lead, student = world
    made.lines(student, [0.0, 25.0], drill=drill, by=lead)
    builders.student(drill.cohort, name="Nobody Yet")
    (skill,) = CohortRecord(drill.cohort).skills(made.START.date())
    first, second = skill.lacking
    assert first.student.name == "Nobody Yet"
    assert first.missing == ("3 more attempts within the standard",)
    assert first.marks == "no assessed result yet"
    assert second.missing == ("2 more attempts within the standard",)
    assert second.marks == "1 within, 1 outside"


def test_who_meets_a_standard_lacks_nothing(world):
    drill, lead, student = world
    made.lines(student, [0.0, 1.0, -1.0], drill=drill, by=lead)
    (skill,) = CohortRecord(drill.cohort).skills(made.START.date())
    assert skill.lacking == ()
    assert skill.met == (student,)


def test_days_and_assessors_that_are_lacking_are_said():
    drill, lead, student = made.class_of(
        tolerance=10.0, judged_on="own", distinct_assessors=2, distinct_days=2
    )
    made.lines(student, [0.0, 1.0, -1.0], drill=drill, by=lead)
    (skill,) = CohortRecord(drill.cohort).skills(made.START.date())
    (one,) = skill.lacking
    assert one.missing == ("Checked by 2 different assessors: so far 1.",)


@pytest.mark.parametrize(
    ("reason", "marks"),
    [("gave up", "1 given up"), ("cloud", "1 without a result"), ("safety", "1 without a result")],
)
def test_an_assessed_attempt_without_a_result_is_among_the_marks_and_in_no_sum(
    world, reason, marks
):
    drill, lead, student = world
    made.lines(student, [50.0], drill=drill, by=lead)
    sums = only().own_sums
    record_attempt(
        by=lead,
        drill=drill,
        student=student,
        observation=Observation(columns={}, no_result=reason),
    )
    found = only()
    assert (found.count, found.own_sums) == (1, sums)
    assert sum(found.outcomes.values()) == 2
    ((one,),) = [skill.lacking for skill in CohortRecord(drill.cohort).skills(date(2025, 7, 1))]
    assert one.marks == f"0 within, 1 outside, {marks}"


def test_whoever_only_gave_up_has_marks_as_well(world):
    drill, lead, student = world
    record_attempt(
        by=lead,
        drill=drill,
        student=student,
        observation=Observation(columns={}, no_result="gave up"),
    )
    ((one,),) = [skill.lacking for skill in CohortRecord(drill.cohort).skills(date(2025, 7, 1))]
    assert one.marks == "0 within, 0 outside, 1 given up"
