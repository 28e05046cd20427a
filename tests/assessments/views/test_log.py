"""Logging and correcting over HTTP."""

import re
import uuid

import pytest
from django.urls import reverse

from assessments.models import Attempt
from tests import builders
from tests.assessments import results
from tests.assessments.forms.test_attempt import COMMON, TYPED

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return results.drill()


@pytest.fixture
def student(drill):
    return builders.student(drill.cohort, name="Ragnhild Øvrebø")


@pytest.fixture
def lead(drill, client):
    lead = builders.lead(drill.cohort)
    client.force_login(lead)
    return lead


def address(drill) -> str:
    return reverse("attempt-log", args=[drill.pk])


def typed(student, method="shadow-tip", **fields) -> dict:
    return COMMON | TYPED[method] | {"student": student.pk, "key": str(uuid.uuid4())} | fields


def test_the_student_is_chosen_first(client, drill, student, lead):
    page = client.get(address(drill)).content.decode()
    assert "Ragnhild Øvrebø" in page
    assert f"?student={student.pk}" in page
    assert lead.name not in page.split("<main", 1)[1]


def test_choosing_says_how_many_are_logged_in_this_drill(client, drill, student, lead):
    results.attempt(of=drill, student=student, by=lead)
    other = builders.drill(cohort=drill.cohort, exercise=drill.exercise, site=drill.site)
    results.attempt(of=other, student=student, by=lead)
    assert "1 logged" in client.get(address(drill)).content.decode()


def test_a_cohort_without_students_says_so(client, drill, lead):
    assert "no student in this cohort" in client.get(address(drill)).content.decode()


@pytest.mark.parametrize("chosen", ["0", "x", "99999999999999999999", "-1", "１"])
def test_a_student_who_is_not_there_is_not_found(client, drill, lead, chosen):
    assert client.get(address(drill), {"student": chosen}).status_code == 404


@pytest.mark.parametrize("method", results.LINES)
def test_a_result_by_any_method_is_logged_and_shown(client, method):
    drill = results.drill(method)
    student = builders.student(drill.cohort)
    client.force_login(builders.lead(drill.cohort))
    response = client.post(address(drill), typed(student, method), follow=True)
    attempt = Attempt.objects.get()
    assert response.redirect_chain[-1][0] == attempt.get_absolute_url()
    assert attempt.student == student
    assert "The method itself" in response.content.decode()


def test_sending_the_form_twice_is_one_result(client, drill, student, lead):
    data = typed(student)
    for _ in range(2):
        response = client.post(address(drill), data)
        assert response.status_code == 302
    assert Attempt.objects.count() == 1


def test_a_refusal_keeps_what_was_typed_and_stores_nothing(client, drill, student, lead):
    data = typed(student, mark_1="03:00", mark_2="03:20", sky="dark", reading_deg="12,5")
    page = client.post(address(drill), data).content.decode()
    assert "At 03:00 CEST the sun was below the horizon." in page
    for text in ("03:00", "03:20", "dark", "12,5", data["key"]):
        assert f'value="{text}"' in page
    assert not Attempt.objects.exists()


@pytest.mark.parametrize("button", ["show", "add_mark"])
def test_asking_for_other_fields_stores_nothing(client, drill, student, lead, button):
    response = client.post(address(drill), typed(student) | {button: "1"})
    assert response.status_code == 200
    assert not Attempt.objects.exists()


def test_the_form_starts_with_the_last_check_of_the_drill(client, drill, student, lead):
    columns = {"check": "shadow", "check_time": "2025-06-20T09:50:00+02:00", "reading_deg": "80"}
    results.attempt(of=drill, student=student, by=lead, columns=columns)
    page = client.get(address(drill), {"student": student.pk}).content.decode()
    assert re.search(r'value="shadow"[^>]*checked|checked[^>]*value="shadow"', page)
    assert 'name="check_time"' in page


def test_the_form_has_no_inline_style_or_script(client, drill, student, lead):
    page = client.get(address(drill), {"student": student.pk}).content.decode()
    assert " style=" not in page
    assert not re.search(r"<script(?![^>]*\bsrc=)", page)


def test_a_correction_shows_the_earlier_numbers_below(client, drill, student, lead):
    attempt = results.attempt(of=drill, student=student, by=lead)
    data = typed(student, reading_deg="358", reason="Misread by eight.", seen="1")
    response = client.post(reverse("attempt-correct", args=[attempt.key]), data, follow=True)
    page = response.content.decode()
    assert "Misread by eight." in page
    assert "−10.0° left" in page
    assert "−2.0° left" in page


def test_a_correction_without_reason_is_refused_at_its_field(client, drill, student, lead):
    attempt = results.attempt(of=drill, student=student, by=lead)
    data = typed(student, reading_deg="358", seen="1")
    page = client.post(reverse("attempt-correct", args=[attempt.key]), data).content.decode()
    assert "Say why the record is corrected." in page
    assert attempt.revisions.count() == 1


def test_choosing_a_student_takes_as_many_queries_for_many(
    client, drill, lead, django_assert_num_queries
):
    for expected in (1, 12):
        while drill.cohort.enrolments.filter(role="student").count() < expected:
            builders.student(drill.cohort)
        with django_assert_num_queries(5):
            client.get(address(drill))
