"""Results of someone whose data are erased: practice goes, evidence stays without the name."""

import json

import pytest

from assessments.models import Attempt, Revision
from assessments.services import correct_attempt
from coursework import services
from coursework.models import Person
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return results.drill()


@pytest.fixture
def administrator(drill):
    return builders.administrator(school=drill.cohort.course.school)


@pytest.fixture
def student(drill):
    return builders.student(drill.cohort, name="Aino Lehto")


def test_an_assessed_result_stays_under_the_label(drill, administrator, student):
    attempt = results.attempt(of=drill, student=student, remark="Aino Lehto was calm.")
    before = Revision.objects.values("error_deg", "inputs", "drawing", "verdict").get()
    label = services.erase_person(administrator, student)
    attempt.refresh_from_db()
    assert attempt.student.name == label
    assert attempt.current.facts["student"] == label
    assert attempt.current.remark == f"{label} was calm."
    assert Revision.objects.values("error_deg", "inputs", "drawing", "verdict").get() == before


def test_every_revision_says_the_same_label(drill, administrator, student):
    lead = builders.lead(drill.cohort)
    attempt = results.attempt(of=drill, student=student, by=lead)
    seen = results.observation(columns={"reading_deg": "340"})
    correct_attempt(by=lead, attempt=attempt, observation=seen, reason="Aino Lehto misread.")
    label = services.erase_person(administrator, student)
    rows = Revision.objects.order_by("number")
    assert [row.facts["student"] for row in rows] == [label, label]
    assert rows[1].reason == f"{label} misread."


def test_practice_goes(drill, administrator, student):
    practice = results.drill(cohort=drill.cohort, exercise=drill.exercise, assessed=False)
    lead = builders.lead(drill.cohort)
    results.attempt(of=practice, student=student, by=lead)
    kept = results.attempt(of=drill, student=student, by=lead)
    shares = {share.words: share for share in services.erasure_shares(student)}
    assert (shares["results"].going, shares["results"].staying) == (1, 1)
    services.erase_person(administrator, student)
    assert list(Attempt.objects.all()) == [kept]
    assert Revision.objects.count() == 1


def test_someone_with_practice_alone_is_gone_altogether(drill, administrator, student):
    practice = results.drill(cohort=drill.cohort, exercise=drill.exercise, assessed=False)
    results.attempt(of=practice, student=student)
    services.erase_person(administrator, student)
    assert not Person.objects.filter(pk=student.pk).exists()


def test_an_assessor_is_a_label_in_what_they_recorded(drill, administrator, student):
    assistant = builders.assistant(drill.cohort, name="Ole Vik")
    attempt = results.attempt(of=drill, student=student, by=assistant)
    label = services.erase_person(administrator, assistant)
    attempt.current.refresh_from_db()
    assert attempt.current.facts["assessor"] == label
    assert attempt.current.facts["student"] == "Aino Lehto"
    assert attempt.current.recorded_by.name == label


def test_the_name_is_gone_from_remarks_about_others(drill, administrator, student):
    other = builders.student(drill.cohort)
    attempt = results.attempt(of=drill, student=other, remark="With Aino Lehto.")
    label = services.erase_person(administrator, student)
    attempt.current.refresh_from_db()
    assert attempt.current.remark == f"With {label}."


def test_results_are_given_out_with_what_was_observed(drill, student):
    results.attempt(of=drill, student=student)
    text = json.dumps(services.personal_data(student, student))
    assert drill.exercise.title in text
    assert "2025-06-20T09:30:00+02:00" in text


def test_what_an_assessor_recorded_about_others_is_counted_not_given_out(drill, student):
    lead = builders.lead(drill.cohort)
    results.attempt(of=drill, student=student, by=lead)
    data = services.personal_data(lead, lead)
    assert "Aino Lehto" not in json.dumps(data)
    assert data["recorded about others (number)"]["results logged or corrected"] == 1
