"""Courses and their exercises, added, changed and removed."""

import pytest
from django.urls import reverse

from coursework.models import Course, Exercise
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(client):
    person = builders.lead(builders.cohort())
    client.force_login(person)
    return person


EXERCISE = {
    "title": "Two marks",
    "method": "shadow-tip",
    "task": "Lay a line.",
    "steps": "",
    "target_deg": "0",
    "tolerance": "15",
    "judged_on": "result",
    "rule": "guarded",
    "attempts_needed": "3",
    "position": "1",
}


def test_a_new_course_belongs_to_the_school_of_its_maker(client, lead):
    client.post(reverse("course-add"), {"title": "By the sun", "summary": ""})
    assert Course.objects.get(title="By the sun").school == lead.school


def test_a_title_that_the_school_has_already_is_refused_whatever_its_capitals(client, lead):
    builders.course(school=lead.school, title="By the sun")
    response = client.post(reverse("course-add"), {"title": "BY THE SUN"})
    assert "already has a course of this title" in response.content.decode()


def test_another_school_may_have_a_course_of_the_same_title(client, lead):
    builders.course(title="By the sun")
    assert client.post(reverse("course-add"), {"title": "By the sun"}).status_code == 302


def test_a_course_saved_under_its_own_title_is_not_taken_for_another(client, lead):
    course = builders.course(school=lead.school)
    fields = {"title": course.title, "summary": "new"}
    client.post(reverse("course-edit", args=[course.pk]), fields)
    course.refresh_from_db()
    assert course.summary == "new"


def test_a_course_is_asked_about_before_it_goes(client, lead):
    course = builders.course(school=lead.school)
    address = reverse("course-remove", args=[course.pk])
    assert "Remove the course" in client.get(address).content.decode()
    assert Course.objects.filter(pk=course.pk).exists()
    client.post(address)
    assert not Course.objects.filter(pk=course.pk).exists()


def test_a_course_with_a_cohort_stays_and_the_page_says_why(client, lead):
    course = lead.enrolments.get().cohort.course
    response = client.post(reverse("course-remove", args=[course.pk]), follow=True)
    assert "There are cohorts of this course" in response.content.decode()
    assert Course.objects.filter(pk=course.pk).exists()


def test_a_new_exercise_stands_in_its_course(client, lead):
    course = builders.course(school=lead.school)
    client.post(reverse("exercise-add", args=[course.pk]), EXERCISE)
    assert course.exercises.get().title == "Two marks"


def test_the_next_exercise_is_offered_the_next_place(client, lead):
    course = builders.course(school=lead.school)
    builders.exercise(course=course, position=4)
    form = client.get(reverse("exercise-add", args=[course.pk])).context["form"]
    assert form.initial["position"] == 5


@pytest.mark.parametrize(
    ("field", "bad"),
    [
        ("tolerance", "0"),
        ("tolerance", "180.1"),
        ("tolerance", "nan"),
        ("target_deg", "-1"),
        ("attempts_needed", "0"),
        ("method", "moss"),
        ("task", ""),
    ],
)
def test_a_bad_standard_is_refused_at_its_field(client, lead, field, bad):
    course = builders.course(school=lead.school)
    response = client.post(reverse("exercise-add", args=[course.pk]), EXERCISE | {field: bad})
    assert list(response.context["form"].errors) == [field]
    assert not course.exercises.exists()


def test_the_method_stays_once_a_drill_of_it_is_planned(client, lead):
    drill = builders.drill(cohort=lead.enrolments.get().cohort)
    fields = EXERCISE | {"method": "hands", "title": "Renamed"}
    client.post(reverse("exercise-edit", args=[drill.exercise_id]), fields)
    exercise = Exercise.objects.get(pk=drill.exercise_id)
    assert (exercise.method, exercise.title) == ("shadow-tip", "Renamed")


def test_an_exercise_that_is_planned_cannot_be_removed(client, lead):
    drill = builders.drill(cohort=lead.enrolments.get().cohort)
    page = client.get(reverse("exercise-detail", args=[drill.exercise_id]))
    assert page.context["may_remove"] is False
    remove = reverse("exercise-remove", args=[drill.exercise_id])
    assert "so it stays" in client.post(remove, follow=True).content.decode()
