"""Courses and their exercises, added, changed and removed."""

import pytest
from django.urls import reverse

from coursework import services
from coursework.exchange.writing import document_of
from coursework.models import Course
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
    "distinct_days": "1",
    "distinct_assessors": "1",
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
    course = builders.draft(school=lead.school)
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


def test_a_new_exercise_stands_at_the_end_of_its_draft(client, lead):
    course = builders.draft(school=lead.school)
    builders.exercise(course=course, position=4)
    client.post(reverse("exercise-add", args=[course.pk]), EXERCISE)
    assert course.exercises.get(title="Two marks").position == 5


def test_an_exercise_can_come_after_lessons_of_its_course(client, lead):
    course = builders.draft(school=lead.school)
    lesson = builders.lesson(course=course)
    fields = EXERCISE | {"lessons": [lesson.pk]}
    client.post(reverse("exercise-add", args=[course.pk]), fields)
    assert list(course.exercises.get().lessons.all()) == [lesson]


@pytest.mark.parametrize(
    ("field", "bad"),
    [
        ("tolerance", "0"),
        ("tolerance", "180.1"),
        ("tolerance", "nan"),
        ("target_deg", "-1"),
        ("attempts_needed", "0"),
        ("distinct_days", "0"),
        ("distinct_assessors", "51"),
        ("method", "moss"),
        ("task", ""),
    ],
)
def test_a_bad_standard_is_refused_at_its_field(client, lead, field, bad):
    course = builders.draft(school=lead.school)
    response = client.post(reverse("exercise-add", args=[course.pk]), EXERCISE | {field: bad})
    assert list(response.context["form"].errors) == [field]
    assert not course.exercises.exists()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"distinct_days": "4"}, "More days are asked for than attempts."),
        ({"distinct_assessors": "4"}, "More assessors are asked for than attempts."),
        (
            {"attempts_needed": "1", "forenoon_and_afternoon": "on"},
            "Forenoon and afternoon both need two attempts.",
        ),
    ],
)
def test_evidence_that_the_attempts_cannot_hold_is_refused(client, lead, more, words):
    course = builders.draft(school=lead.school)
    response = client.post(reverse("exercise-add", args=[course.pk]), EXERCISE | more)
    assert words in response.content.decode()
    assert not course.exercises.exists()


def test_the_method_stays_once_a_published_version_has_the_exercise(client, lead):
    exercise = builders.exercise(course=builders.course(school=lead.school))
    draft = services.next_version(lead, exercise.course)
    copied = draft.exercises.get()
    fields = EXERCISE | {"method": "hands", "title": "Renamed"}
    client.post(reverse("exercise-edit", args=[copied.pk]), fields)
    copied.refresh_from_db()
    assert (copied.method, copied.title) == ("shadow-tip", "Renamed")


@pytest.mark.parametrize(
    ("name", "of"),
    [
        ("course-edit", "course"),
        ("course-publish", "course"),
        ("course-discard", "course"),
        ("lesson-add", "course"),
        ("lesson-edit", "lesson"),
        ("lesson-remove", "lesson"),
        ("lesson-shift", "lesson"),
        ("exercise-add", "course"),
        ("exercise-edit", "exercise"),
        ("exercise-remove", "exercise"),
        ("exercise-shift", "exercise"),
    ],
)
def test_what_is_published_is_not_changed_and_the_page_says_how_to(client, lead, name, of):
    course = builders.course(school=lead.school)
    things = {
        "course": course,
        "lesson": builders.lesson(course=course),
        "exercise": builders.exercise(course=course),
    }
    before = document_of(course)
    address = reverse(name, args=[things[of].pk])
    page = client.post(address, EXERCISE | {"way": "down"}, follow=True).content.decode()
    assert "is published and stays as it is" in page
    course.refresh_from_db()
    assert document_of(course) == before


def test_the_list_has_one_row_a_course_with_its_newest_published_version(client, lead):
    first = builders.course(school=lead.school, title="By the sun")
    builders.course(school=lead.school, title="By the sun", lineage=first.lineage, number=2)
    draft = services.next_version(lead, first)
    rows = client.get(reverse("course-list")).context["page"].object_list
    (row,) = [row for row in rows if row.lineage == first.lineage]
    assert (row.number, row.draft_pk) == (2, draft.pk)


def test_a_student_does_not_see_drafts(client):
    cohort = builders.cohort()
    builders.draft(school=cohort.course.school)
    draft = services.next_version(builders.lead(cohort), cohort.course)
    client.force_login(builders.student(cohort))
    rows = client.get(reverse("course-list")).context["page"].object_list
    assert [row.pk for row in rows] == [cohort.course_id]
    assert client.get(reverse("course-detail", args=[draft.pk])).status_code == 404


def test_the_page_of_an_older_version_names_the_newest(client, lead):
    old = builders.course(school=lead.school)
    builders.course(school=lead.school, title=old.title, lineage=old.lineage, number=2)
    page = client.get(reverse("course-detail", args=[old.pk])).content.decode()
    assert "version 2 is the newest" in page
