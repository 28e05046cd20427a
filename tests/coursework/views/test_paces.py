"""Paces for 100 m: counted, kept, shown to the student and to who instructs."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def cohort():
    return builders.cohort()


def test_a_student_enters_a_count_and_sees_it(client, cohort):
    student = builders.student(cohort)
    client.force_login(student)
    typed = {"paces": "129", "distance_m": "200"}
    page = client.post(reverse("profile-paces"), typed, follow=True).content.decode()
    assert "64.5" in page
    assert "129 over 200 m" in page
    student.refresh_from_db()
    assert student.paces_per_100_m == 64.5


def test_an_assistant_saves_a_students_count(client, cohort):
    client.force_login(builders.assistant(cohort))
    row = builders.enrolment(cohort=cohort)
    address = reverse("enrolment-paces", args=[row.pk])
    page = client.post(address, {"paces": "65", "distance_m": "100"}, follow=True)
    assert "65 paces for 100 m" in page.content.decode()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"paces": "65", "distance_m": ""}, "distance_m"),
        ({"paces": "65", "distance_m": "19"}, "distance_m"),
        ({"paces": "19", "distance_m": "100"}, "paces"),
        ({"paces": "401", "distance_m": "100"}, "paces"),
        ({"paces": "6.5", "distance_m": "100"}, "paces"),
    ],
)
def test_a_count_that_cannot_be_is_refused(client, cohort, typed, field):
    student = builders.student(cohort)
    client.force_login(student)
    page = client.post(reverse("profile-paces"), typed)
    assert field in page.context["form"].errors
    assert not student.pace_measurements.exists()


@pytest.mark.parametrize(("paces", "distance_m"), [("20", "100"), ("400", "100")])
def test_the_limits_themselves_are_taken(client, cohort, paces, distance_m):
    student = builders.student(cohort)
    client.force_login(student)
    client.post(reverse("profile-paces"), {"paces": paces, "distance_m": distance_m})
    assert student.pace_measurements.get().paces_per_100_m == float(paces)
