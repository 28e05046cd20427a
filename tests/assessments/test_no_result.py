"""Attempts that came to no result: stored with a reason, shown everywhere, counted nowhere."""

import re
import uuid

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from assessments import services
from assessments.certification.facts import Outcome
from assessments.models import Attempt, NoResult, RecordSummary, Revision
from assessments.observations import Observation
from assessments.sheets import record_sheet, skill_sheet, sources
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db

HIDDEN = Observation(columns={}, no_result="cloud")


def without(method="shadow-tip", *, of=None, **fields) -> Attempt:
    of = of or results.drill(method)
    given = {"columns": {}, "no_result": "cloud"} | fields
    return services.record_attempt(
        by=builders.lead(of.cohort),
        drill=of,
        student=builders.student(of.cohort),
        observation=Observation(**given),
    )


@pytest.mark.parametrize("method", results.LINES + results.TRAVEL)
def test_no_result_by_any_method_has_its_reason_and_no_numbers(method):
    score = without(method).current
    assert score.no_result_words == "the sun or the stars were hidden"
    assert (score.verdict, score.score_value, score.error_deg, score.drawing) == (
        "",
        None,
        None,
        {},
    )


def test_a_reason_of_its_own_needs_words():
    with pytest.raises(services.Refused) as refused:
        without(no_result="other")
    assert refused.value.field == "remark"
    assert without(no_result="other", remark="Cows on the line.").current.no_result_words == (
        "Cows on the line."
    )


def test_a_reason_that_is_none_is_refused():
    with pytest.raises(services.Refused, match="Choose why"):
        without(no_result="bored")


@pytest.mark.parametrize(
    ("reason", "outcome"),
    [("gave up", Outcome.GAVE_UP), ("cloud", Outcome.NO_RESULT), ("safety", Outcome.NO_RESULT)],
)
def test_only_giving_up_counts_as_giving_up(reason, outcome):
    assert without(no_result=reason).current.outcome == outcome


def test_a_result_counts_as_its_verdict():
    score = results.attempt().current
    assert score.outcome == Outcome(score.verdict)


def test_it_is_dated_by_the_end_of_the_drill_where_it_is_entered_later():
    attempt = without()
    assert attempt.current.observed_at == attempt.drill.ends_at


def test_it_is_dated_by_the_moment_of_logging_during_the_drill():
    of = results.drill(minutes=60)
    now = of.starts_at.replace(minute=20)
    attempt = services.record_attempt(
        by=builders.lead(of.cohort),
        drill=of,
        student=builders.student(of.cohort),
        observation=HIDDEN,
        now=now,
    )
    assert attempt.current.observed_at == now


def test_a_time_that_was_noted_is_kept():
    score = without(columns={"times": "2025-06-20T09:30:00+02:00"}).current
    assert f"{score.local_observed_at:%H:%M}" == "09:30"


def test_the_same_one_sent_twice_is_one():
    of = results.drill()
    lead, student, key = builders.lead(of.cohort), builders.student(of.cohort), uuid.uuid4()
    for _ in range(2):
        services.record_attempt(by=lead, drill=of, student=student, observation=HIDDEN, key=key)
    assert Attempt.objects.count() == 1


def test_the_same_key_with_another_reason_is_refused():
    of = results.drill()
    lead, student, key = builders.lead(of.cohort), builders.student(of.cohort), uuid.uuid4()
    services.record_attempt(by=lead, drill=of, student=student, observation=HIDDEN, key=key)
    other = Observation(columns={}, no_result="gave up")
    with pytest.raises(services.Refused, match="other content"):
        services.record_attempt(by=lead, drill=of, student=student, observation=other, key=key)


@pytest.mark.parametrize("method", ["shadow-tip", "pace-count"])
def test_it_is_corrected_into_a_result_and_back(method):
    attempt = without(method)
    by = builders.lead(attempt.drill.cohort)
    result = services.correct_attempt(
        by=by, attempt=attempt, observation=results.observation(method), reason="Wrong student."
    )
    assert result.has_result
    assert result.verdict
    back = services.correct_attempt(by=by, attempt=attempt, observation=HIDDEN, reason="It was.")
    assert back.no_result == "cloud"
    assert back.score_value is None
    assert [row.number for row in attempt.revisions.all()] == [1, 2, 3]


def is_in_no_sum() -> bool:
    """Counted among the outcomes, and nowhere else."""
    found = RecordSummary.objects.get()
    sums = found.count, found.kept, found.checks, found.margins, found.clear_margins
    return sums == (0, [], [], {}, {}) and found.outcomes == {"no result": 1}


def test_it_is_in_no_sum():
    attempt = without()
    assert is_in_no_sum()
    services.correct_attempt(
        by=builders.lead(attempt.drill.cohort),
        attempt=attempt,
        observation=results.observation(),
        reason="Wrong button.",
    )
    assert RecordSummary.objects.get().count == 1


def test_a_result_corrected_into_none_leaves_the_sums():
    attempt = results.attempt()
    services.correct_attempt(
        by=builders.lead(attempt.drill.cohort), attempt=attempt, observation=HIDDEN, reason="Cloud."
    )
    assert is_in_no_sum()


@pytest.mark.parametrize("change", [{"no_result": ""}, {"verdict": "within"}, {"score_value": 1.0}])
def test_the_database_takes_no_half_result(change):
    attempt = without()
    with pytest.raises(IntegrityError), transaction.atomic():
        Revision.objects.filter(attempt=attempt).update(**change)


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("no result", {"cloud", "gave up"}),
        ("no result: cloud", {"cloud"}),
        ("no result: safety", set()),
        ("within", set()),
    ],
)
def test_the_list_is_narrowed_to_those_without_a_result(asked, found):
    without()
    without(no_result="gave up")
    narrowed = Attempt.objects.narrowed(verdict=asked)
    assert {attempt.current.no_result for attempt in narrowed} == found


def test_it_is_logged_with_the_button_of_its_reason_alone(client):
    of = results.drill()
    student = builders.student(of.cohort)
    client.force_login(builders.lead(of.cohort))
    address = reverse("attempt-log", args=[of.pk])
    page = client.get(address, {"student": student.pk}).content.decode()
    key = re.search(r'name="key" value="([^"]+)" id="id_none_key"', page)[1]
    sent = {"student": student.pk, "key": key, "no_result": "gave up"}
    page = client.post(address, sent, follow=True).content.decode()
    assert Attempt.objects.get().current.no_result == NoResult.GAVE_UP
    assert "No result: the student gave up" in page


def test_words_are_asked_for_beside_their_field(client):
    of = results.drill()
    student = builders.student(of.cohort)
    client.force_login(builders.lead(of.cohort))
    sent = {"student": student.pk, "key": uuid.uuid4(), "no_result": "other"}
    page = client.post(reverse("attempt-log", args=[of.pk]), sent).content.decode()
    assert "Say in a few words why there is no result." in page
    assert not Attempt.objects.exists()


@pytest.mark.parametrize("method", ["shadow-tip", "watch", "checklist"])
def test_its_correction_starts_as_an_empty_form(client, method):
    attempt = without(method)
    client.force_login(builders.lead(attempt.drill.cohort))
    page = client.get(reverse("attempt-correct", args=[attempt.key]))
    assert page.status_code == 200


def test_a_result_is_corrected_into_none_over_http(client):
    attempt = results.attempt()
    client.force_login(builders.lead(attempt.drill.cohort))
    sent = {"seen": "1", "reason": "The sun had gone in.", "no_result": "cloud"}
    page = client.post(reverse("attempt-correct", args=[attempt.key]), sent, follow=True)
    attempt.refresh_from_db()
    assert attempt.current.no_result == NoResult.CLOUD
    assert "The sun had gone in." in page.content.decode()


@pytest.mark.parametrize("name", ["attempt-again", "otherwise"])
def test_there_is_nothing_to_work_out(client, name):
    attempt = without()
    client.force_login(builders.lead(attempt.drill.cohort))
    assert client.get(reverse(name, args=[attempt.key])).status_code == 404


@pytest.mark.parametrize("method", ["shadow-tip", "pace-count"])
def test_lists_and_record_show_it_with_its_reason(client, method):
    attempt = without(method)
    client.force_login(builders.lead(attempt.drill.cohort))
    for address in (
        reverse("attempt-list"),
        reverse("drill-detail", args=[attempt.drill_id]),
        reverse("record", args=[attempt.student_id]),
    ):
        page = client.get(address).content.decode()
        assert "The sun or the stars were hidden" in page
        assert "no result" in page


@pytest.mark.parametrize("method", ["shadow-tip", "pace-count", "checklist"])
def test_sheets_show_it_without_numbers(method):
    attempt = without(method)
    one = sources.attempt_sheet(attempt)
    assert one.records[0].no_result == "the sun or the stars were hidden"
    assert skill_sheet.render_pdf(one).startswith(b"%PDF")
    of_exercise = sources.exercise_sheet(attempt.exercise, attempt.student, [attempt])
    assert skill_sheet.render_pdf(of_exercise).startswith(b"%PDF")


def test_the_printed_record_lists_it():
    attempt = without()
    record = record_sheet.StudentRecord([])
    content = record_sheet.render_pdf(attempt.student, record, [], [attempt])
    assert content.startswith(b"%PDF")
