"""What speaks against a drill, as it is answered while one chooses in its form."""

from datetime import date

import pytest
from django.urls import reverse

from coursework.models import Drill, SchoolSettings
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(client, cohort):
    person = builders.lead(cohort, name="Tove Lind")
    client.force_login(person)
    return person


@pytest.fixture
def chosen(cohort, lead):
    """An hour about noon at the equinox, at which nothing speaks against it."""
    return {
        "exercise": builders.exercise(course=cohort.course).pk,
        "site": builders.site(school=cohort.course.school, students_per_instructor=2).pk,
        "day": "2026-09-22",
        "clock": "13:00",
        "minutes": "60",
        "lead": lead.pk,
    }


def answered(client, cohort, chosen, **more) -> str:
    response = client.post(
        reverse("drill-conflicts", args=[cohort.pk]), chosen | more, headers={"HX-Request": "true"}
    )
    assert response.status_code == 200
    assert not Drill.objects.exists()
    return response.content.decode()


def test_at_a_good_hour_nothing_speaks_against_it(client, cohort, chosen):
    assert "Nothing that can be seen from here" in answered(client, cohort, chosen)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"clock": "06:00"}, "The sun is below the skyline"),
        ({"clock": "18:30", "minutes": "30"}, "It gets dark early"),
        ({"day": "2026-06-20", "clock": "09:30"}, "The method itself is off by"),
        ({"heat_expected": "28"}, "Heat expected: 28"),
        ({"planned_check": "landmark"}, "The site has no reference mark to check by."),
        ({"lead": ""}, "Nobody is named to lead it."),
    ],
)
def test_what_is_typed_is_answered(client, cohort, chosen, typed, said):
    SchoolSettings.objects.create(school=cohort.course.school, heat_care=28.0)
    assert said in answered(client, cohort, chosen, **typed)


def test_too_many_students_for_the_instructors_named(client, cohort, chosen):
    for _number in range(3):
        builders.student(cohort)
    assert "3 students for 1 instructor" in answered(client, cohort, chosen)
    more = builders.assistant(cohort)
    assert "students for" not in answered(client, cohort, chosen, assistants=[more.pk])


def test_an_approval_that_will_have_lapsed(client, cohort, chosen, lead):
    builders.approval(person=lead, issued_on=date(2025, 1, 1), expires_on=date(2026, 9, 21))
    assert "Tove Lind: first aid holds until 21 September 2026 only" in answered(
        client, cohort, chosen
    )
    assert "Tove Lind" not in answered(client, cohort, chosen, day="2026-09-21")


def test_a_check_that_can_never_decide_the_tolerance(client, cohort, chosen):
    narrow = builders.exercise(course=cohort.course, tolerance=2.8)
    said = answered(client, cohort, chosen, exercise=narrow.pk, planned_check="compass")
    assert "No line can be shown to be within 2.8° by this check" in said
    finer = answered(client, cohort, chosen, exercise=narrow.pk, planned_check="shadow")
    assert "No line can be shown" not in finer


def test_a_lesson_that_comes_before_and_has_not_been_held(client, cohort, chosen):
    lesson = builders.lesson(course=cohort.course, title="What the sun does")
    after = builders.exercise(course=cohort.course)
    after.lessons.add(lesson)
    said = answered(client, cohort, chosen, exercise=after.pk)
    assert "Not held with this cohort yet: What the sun does." in said


def test_a_reader_of_the_cohort_is_told_nothing(client, cohort, chosen):
    client.force_login(builders.student(cohort))
    address = reverse("drill-conflicts", args=[cohort.pk])
    assert client.post(address, chosen).status_code == 403
