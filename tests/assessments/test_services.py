"""Storing results, tested without a browser."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import PermissionDenied

from assessments import services
from assessments.models import Attempt, Revision
from assessments.services import Entry, Refused, correct_attempt, record_attempt, record_attempts
from solar.scoring import score
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return results.drill()


@pytest.fixture
def lead(drill):
    return builders.lead(drill.cohort)


@pytest.fixture
def student(drill):
    return builders.student(drill.cohort)


def record(drill, lead, student, **fields):
    observation = fields.pop("observation", None) or results.observation()
    return record_attempt(by=lead, drill=drill, student=student, observation=observation, **fields)


def refusal(call) -> Refused:
    with pytest.raises(Refused) as caught:
        call()
    return caught.value


def test_the_stored_score_is_the_one_of_the_batch_format(drill, lead, student):
    revision = record(drill, lead, student).current
    scores = score({name: [text] for name, text in revision.inputs.items()})
    assert revision.error_deg == pytest.approx(-10.0)
    assert revision.method_error_deg == float(scores.columns["method_error_deg"][0])
    assert revision.own_error_deg == float(scores.columns["own_error_deg"][0])
    assert revision.verdict == scores.columns["verdict"][0]
    assert revision.drawing == scores.drawing(0)


def test_place_standard_and_names_stay_as_they_were(drill, lead, student):
    attempt = record(drill, lead, student)
    drill.site.latitude_deg, drill.site.name = 10.0, "Elsewhere"
    drill.site.save()
    drill.exercise.tolerance, drill.exercise.title = 1.0, "Other"
    drill.exercise.save()
    revision = Attempt.objects.get(pk=attempt.pk).current
    assert revision.inputs["lat"] == "46.72"
    assert revision.tolerance_deg == 15.0
    assert revision.facts["site"] != "Elsewhere"
    assert revision.facts["exercise"] != "Other"


@pytest.mark.parametrize("assessed", [True, False])
def test_whether_it_counts_is_taken_from_the_drill_and_stays(drill, lead, student, assessed):
    drill.assessed = assessed
    drill.save()
    attempt = record(drill, lead, student)
    drill.assessed = not assessed
    drill.save()
    assert Attempt.objects.get(pk=attempt.pk).assessed is assessed


def test_an_instrument_gives_its_correction_and_uncertainty(drill, lead, student):
    compass = builders.instrument(
        school=drill.site.school, label="B", correction_deg=-1.5, reading_u_deg=0.75
    )
    columns = {"check": "compass", "reading_deg": "350"}
    observation = results.observation(columns=columns, instrument=compass)
    inputs = record(drill, lead, student, observation=observation).current.inputs
    assert (inputs["correction_deg"], inputs["reading_u_deg"]) == ("-1.5", "0.75")


def test_a_mark_gives_its_bearing(drill, lead, student):
    mark = builders.mark(site=drill.site, bearing_deg=123.4)
    columns = {"check": "landmark", "reading_deg": "230"}
    revision = record(
        drill, lead, student, observation=results.observation(columns=columns, mark=mark)
    ).current
    assert revision.laid_true_deg == pytest.approx(353.4)
    assert revision.facts["mark"] == mark.name


def test_a_hand_that_was_never_measured_splits_nothing():
    drill = results.drill("hands")
    unmeasured = results.observation("hands", columns={"degrees_per_hand": ""})
    student, lead = builders.student(drill.cohort), builders.lead(drill.cohort)
    revision = record(drill, lead, student, observation=unmeasured).current
    assert revision.counting_error_deg is None
    measured = record(drill, lead, student, observation=results.observation("hands")).current
    assert measured.counting_error_deg is not None


def test_the_same_key_twice_is_the_same_attempt(drill, lead, student):
    key = uuid.uuid4()
    first = record(drill, lead, student, key=key)
    second = record(drill, lead, student, key=key)
    assert first == second
    assert Revision.objects.count() == 1


def test_the_same_key_after_the_site_was_mended_is_still_the_same_attempt(drill, lead, student):
    key = uuid.uuid4()
    first = record(drill, lead, student, key=key)
    drill.site.elevation_m = 1075.0
    drill.site.save()
    assert record(drill, lead, student, key=key) == first


def test_the_same_key_with_other_content_is_refused(drill, lead, student):
    key = uuid.uuid4()
    record(drill, lead, student, key=key)
    other = results.observation(columns={"reading_deg": "351"})
    refused = refusal(lambda: record(drill, lead, student, key=key, observation=other))
    assert refused.field == "key"
    assert Revision.objects.count() == 1


def test_the_same_key_from_someone_else_is_refused(drill, lead, student):
    key = uuid.uuid4()
    record(drill, lead, student, key=key)
    other = builders.assistant(drill.cohort)
    assert refusal(lambda: record(drill, other, student, key=key)).field == "key"


def test_the_same_key_for_another_student_is_refused(drill, lead, student):
    key = uuid.uuid4()
    record(drill, lead, student, key=key)
    other = builders.student(drill.cohort)
    assert refusal(lambda: record(drill, lead, other, key=key)).field == "key"


def test_a_key_sent_again_after_a_correction_is_the_corrected_attempt(drill, lead, student):
    key = uuid.uuid4()
    attempt = record(drill, lead, student, key=key)
    corrected = results.observation(columns={"reading_deg": "352"})
    correct_attempt(by=lead, attempt=attempt, observation=corrected, reason="Misread.")
    again = record(drill, lead, student, key=key)
    assert again.current.number == 2


def test_many_results_are_stored_all_or_none(drill, lead, student):
    bad = results.observation(columns={"times": "2025-06-20T02:00:00+02:00"})
    entries = [
        Entry(drill=drill, student=student, observation=observation)
        for observation in (results.observation(), bad)
    ]
    refused = refusal(lambda: record_attempts(by=lead, entries=entries))
    assert refused.position == 1
    assert not Attempt.objects.exists()


def test_many_results_come_back_in_the_order_they_were_given(drill, lead):
    students = [builders.student(drill.cohort) for _ in range(3)]
    entries = [
        Entry(drill=drill, student=student, observation=results.observation())
        for student in students
    ]
    stored = record_attempts(by=lead, entries=entries)
    assert [attempt.student for attempt in stored] == students


def test_a_result_that_cannot_be_scored_says_which_column_and_why(drill, lead, student):
    early = results.observation(
        columns={"times": "2025-06-20T03:00:00+02:00;2025-06-20T03:15:00+02:00"}
    )
    refused = refusal(lambda: record(drill, lead, student, observation=early))
    assert refused.field == "times"
    assert refused.sentence == "At 03:00 CEST the sun was below the horizon."


@pytest.mark.parametrize(("minutes", "is_stored"), [(5, True), (5.02, False)])
def test_a_time_ahead_of_the_clock_is_taken_for_five_minutes(
    drill, lead, student, minutes, is_stored
):
    last_mark = datetime(2025, 6, 20, 7, 46, tzinfo=UTC)
    now = last_mark - timedelta(minutes=minutes)
    if is_stored:
        assert record(drill, lead, student, now=now).current.observed_at == last_mark
    else:
        refused = refusal(lambda: record(drill, lead, student, now=now))
        assert (refused.field, refused.sentence) == ("times", "That time is still to come.")


def test_a_check_that_is_still_to_come_is_refused(drill, lead, student):
    columns = {"check": "shadow", "check_time": "2025-06-20T11:00:00+02:00", "reading_deg": "90"}
    now = datetime(2025, 6, 20, 7, 50, tzinfo=UTC)
    observation = results.observation(columns=columns)
    refused = refusal(lambda: record(drill, lead, student, observation=observation, now=now))
    assert refused.field == "check_time"


def test_only_students_of_the_cohort_are_logged(drill, lead):
    elsewhere = builders.student(builders.cohort(course=drill.cohort.course))
    refused = refusal(lambda: record(drill, lead, elsewhere))
    assert refused.field == "student"
    assert elsewhere.name in refused.sentence


def test_an_assistant_is_no_student_of_the_cohort(drill, lead):
    assistant = builders.assistant(drill.cohort)
    assert refusal(lambda: record(drill, lead, assistant)).field == "student"


def test_nobody_logs_their_own_result(drill, lead):
    builders.enrolment(cohort=drill.cohort, person=lead, role="student")
    refused = refusal(lambda: record(drill, lead, lead))
    assert refused.sentence == "Nobody logs their own result, practice aside."


def test_a_student_logs_nobody(drill, student):
    other = builders.student(drill.cohort)
    with pytest.raises(PermissionDenied):
        record(drill, student, other)


def test_an_instrument_of_another_school_is_refused(drill, lead, student):
    observation = results.observation(instrument=builders.instrument())
    refused = refusal(lambda: record(drill, lead, student, observation=observation))
    assert refused.field == "instrument"


def test_a_mark_of_another_site_is_refused(drill, lead, student):
    observation = results.observation(mark=builders.mark())
    refused = refusal(lambda: record(drill, lead, student, observation=observation))
    assert refused.field == "landmark_deg"


def test_a_remark_has_its_limit(drill, lead, student):
    assert record(drill, lead, student, observation=results.observation(remark="x" * 2000))
    refused = refusal(
        lambda: record(drill, lead, student, observation=results.observation(remark="x" * 2001))
    )
    assert refused.field == "remark"


def test_a_correction_adds_a_revision_and_leaves_the_first(drill, lead, student):
    attempt = record(drill, lead, student)
    corrected = results.observation(columns={"reading_deg": "358"})
    correct_attempt(by=lead, attempt=attempt, observation=corrected, reason="Misread by eight.")
    attempt.refresh_from_db()
    first, second = attempt.revisions.all()
    assert attempt.current == second
    assert (first.error_deg, second.error_deg) == (pytest.approx(-10.0), pytest.approx(-2.0))
    assert (second.reason, second.recorded_by) == ("Misread by eight.", lead)


def test_a_correction_keeps_the_standard_of_the_day(drill, lead, student):
    attempt = record(drill, lead, student)
    drill.exercise.tolerance = 1.0
    drill.exercise.save()
    corrected = results.observation(columns={"reading_deg": "358"})
    revision = correct_attempt(by=lead, attempt=attempt, observation=corrected, reason="Misread.")
    assert revision.tolerance_deg == 15.0


@pytest.mark.parametrize("reason", ["", "  "])
def test_a_correction_needs_a_reason(drill, lead, student, reason):
    attempt = record(drill, lead, student)
    corrected = results.observation(columns={"reading_deg": "358"})
    refused = refusal(
        lambda: correct_attempt(by=lead, attempt=attempt, observation=corrected, reason=reason)
    )
    assert refused.field == "reason"


def test_a_correction_that_changes_nothing_is_refused(drill, lead, student):
    attempt = record(drill, lead, student)
    refused = refusal(
        lambda: correct_attempt(
            by=lead, attempt=attempt, observation=results.observation(), reason="None."
        )
    )
    assert refused.sentence == "Nothing differs from the record as it stands."


def test_the_same_correction_sent_twice_is_one(drill, lead, student):
    attempt = record(drill, lead, student)
    corrected = results.observation(columns={"reading_deg": "358"})
    for _ in range(2):
        correct_attempt(by=lead, attempt=attempt, observation=corrected, reason="Misread.", seen=1)
    assert attempt.revisions.count() == 2


def test_a_correction_from_an_older_record_is_refused(drill, lead, student):
    attempt = record(drill, lead, student)
    for reading, expected in (("358", 2), ("359", None)):
        corrected = results.observation(columns={"reading_deg": reading})
        give = lambda corrected=corrected: correct_attempt(  # noqa: E731
            by=lead, attempt=attempt, observation=corrected, reason="Misread.", seen=1
        )
        if expected:
            assert give().number == expected
        else:
            assert "meanwhile" in refusal(give).sentence


def test_nobody_corrects_their_own_result(drill, lead, student):
    attempt = record(drill, lead, student)
    builders.enrolment(cohort=drill.cohort, person=student, role="assistant")
    corrected = results.observation(columns={"reading_deg": "358"})
    with pytest.raises(PermissionDenied):
        correct_attempt(by=student, attempt=attempt, observation=corrected, reason="Better.")


def test_working_it_out_again_shows_no_difference_with_the_same_engine(drill, lead, student):
    revision = record(drill, lead, student).current
    differences = services.recompute_difference(Revision.objects.get(pk=revision.pk))
    assert not any(row.is_changed for row in differences)


def test_working_it_out_again_shows_a_difference_and_stores_nothing(drill, lead, student):
    revision = record(drill, lead, student).current
    revision.own_error_deg += 0.25
    by_column = {row.column: row for row in services.recompute_difference(revision)}
    assert by_column["own_error_deg"].change == pytest.approx(-0.25)
    assert by_column["own_error_deg"].is_changed
    assert not by_column["error_deg"].is_changed
    assert Revision.objects.count() == 1


def test_many_results_take_as_few_queries_as_two(drill, lead, django_assert_num_queries):
    students = [builders.student(drill.cohort) for _ in range(12)]
    for group in (students[:2], students[2:]):
        entries = [
            Entry(drill=drill, student=student, observation=results.observation())
            for student in group
        ]
        with django_assert_num_queries(12):
            record_attempts(by=lead, entries=entries)
