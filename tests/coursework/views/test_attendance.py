"""Attendance: one page for a lesson, and what students see of it."""

import pytest
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coursework import services
from coursework.models import Attendance
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def lesson():
    return builders.lesson(course=builders.course(), title="Stick")


@pytest.fixture
def cohort(lesson):
    return builders.cohort(course=lesson.course)


def address(cohort, lesson) -> str:
    return reverse("attendance", args=[cohort.pk, lesson.pk])


def test_all_students_are_marked_on_one_page(client, cohort, lesson):
    client.force_login(builders.assistant(cohort))
    here, away, unsaid = (builders.student(cohort) for _ in range(3))
    response = client.post(
        address(cohort, lesson),
        {f"person-{here.pk}": "present", f"person-{away.pk}": "absent", f"person-{unsaid.pk}": ""},
        follow=True,
    )
    page = response.content.decode()
    assert "2 marks are saved." in page
    assert "1 present, 1 absent, of 3" in page
    marks = dict(Attendance.objects.values_list("person", "present"))
    assert marks == {here.pk: True, away.pk: False}


def test_the_page_says_who_marked_whom_and_when(client, cohort, lesson):
    builders.drill(cohort=cohort)
    student, lead = builders.student(cohort), builders.lead(cohort, name="Iga Bielak")
    services.mark_attendance(lead, cohort, lesson, {student.pk: True})
    Attendance.objects.update(marked_at=builders.MIDSUMMER_MORNING)
    client.force_login(lead)
    page = client.get(address(cohort, lesson)).content.decode()
    assert "marked by Iga Bielak, Sat 20 June 2026, 09:30 CEST" in page
    assert page.count(" checked") == 1


def test_the_same_again_saves_nothing_and_says_so(client, cohort, lesson):
    student, lead = builders.student(cohort), builders.lead(cohort)
    services.mark_attendance(lead, cohort, lesson, {student.pk: True})
    client.force_login(lead)
    fields = {f"person-{student.pk}": "present"}
    page = client.post(address(cohort, lesson), fields, follow=True).content.decode()
    assert "Nothing was different" in page


def test_a_mark_that_is_none_is_told_beside_the_name(client, cohort, lesson):
    student = builders.student(cohort)
    client.force_login(builders.lead(cohort))
    response = client.post(address(cohort, lesson), {f"person-{student.pk}": "perhaps"})
    assert list(response.context["form"].errors) == [f"person-{student.pk}"]
    assert not Attendance.objects.exists()


def test_a_cohort_without_students_says_what_to_do_first(client, cohort, lesson):
    client.force_login(builders.lead(cohort))
    page = client.get(address(cohort, lesson)).content.decode()
    assert "Add people to the cohort first" in page


def test_a_lesson_of_another_version_has_no_page_here(client, cohort):
    client.force_login(builders.lead(cohort))
    other = builders.lesson(course=builders.course(school=cohort.course.school))
    assert client.get(address(cohort, other)).status_code == 404


def test_students_see_their_own_marks_and_no_numbers(client, cohort, lesson):
    student, other, lead = (
        builders.student(cohort),
        builders.student(cohort),
        builders.lead(cohort),
    )
    services.mark_attendance(lead, cohort, lesson, {student.pk: False, other.pk: True})
    client.force_login(student)
    page = client.get(reverse("cohort-lessons", args=[cohort.pk])).content.decode()
    assert "you were absent" in page
    assert "1 present" not in page


def test_marks_outlast_a_lesson_that_a_newer_version_left_out(client, cohort, lesson):
    student, lead = builders.student(cohort), builders.lead(cohort)
    services.mark_attendance(lead, cohort, lesson, {student.pk: True})
    new = services.next_version(lead, cohort.course)
    new.lessons.all().delete()
    new.published_at = builders.SPRING
    new.save()
    services.move_cohort(lead, cohort, new)
    client.force_login(lead)
    page = client.get(reverse("cohort-lessons", args=[cohort.pk])).content.decode()
    assert "Lessons of earlier versions" in page
    assert "1 present, 0 absent, of 1" in page


@pytest.mark.parametrize("name", ["attendance", "cohort-lessons"])
def test_the_query_count_does_not_grow_with_students_and_lessons(
    client, cohort, lesson, name, connection_of_tests
):
    lead = builders.lead(cohort)
    client.force_login(lead)
    page = reverse(name, args=[cohort.pk, *([lesson.pk] if name == "attendance" else [])])

    def queries() -> int:
        student = builders.student(cohort)
        services.mark_attendance(lead, cohort, lesson, {student.pk: True})
        builders.lesson(course=lesson.course)
        with CaptureQueriesContext(connection_of_tests) as caught:
            assert client.get(page).status_code == 200
        return len(caught)

    first = queries()
    assert {queries() for _ in range(4)} == {first}
