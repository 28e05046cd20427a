"""Marks of who was at a lesson."""

import pytest
from django.core.exceptions import PermissionDenied

from coursework import services
from coursework.models import Attendance
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lesson(cohort):
    return builders.lesson(course=cohort.course)


@pytest.fixture
def student(cohort):
    return builders.student(cohort)


def test_a_mark_says_who_made_it(cohort, lesson, student):
    assistant = builders.assistant(cohort)
    (mark,) = services.mark_attendance(assistant, cohort, lesson, {student.pk: True})
    mark.refresh_from_db()
    assert (mark.person, mark.present, mark.marked_by) == (student, True, assistant)
    assert mark.lesson_key == lesson.key


def test_the_same_mark_again_is_not_written_twice(cohort, lesson, student):
    lead = builders.lead(cohort)
    for _ in range(2):
        services.mark_attendance(lead, cohort, lesson, {student.pk: False})
    assert Attendance.objects.count() == 1


def test_a_changed_mark_stands_over_the_earlier_one_and_keeps_it(cohort, lesson, student):
    lead = builders.lead(cohort)
    for present in (False, True):
        services.mark_attendance(lead, cohort, lesson, {student.pk: present})
    assert Attendance.objects.count() == 2
    assert Attendance.objects.standing().get().present is True


def test_a_lesson_of_the_next_version_has_the_marks_of_the_one_before(cohort, lesson, student):
    lead = builders.lead(cohort)
    services.mark_attendance(lead, cohort, lesson, {student.pk: True})
    copied = services.next_version(lead, cohort.course).lessons.get()
    copied.course.published_at = builders.SPRING
    copied.course.save()
    services.move_cohort(lead, cohort, copied.course)
    cohort.refresh_from_db()
    assert services.mark_attendance(lead, cohort, copied, {student.pk: True}) == []


@pytest.mark.parametrize("who", ["student", "stranger"])
def test_who_does_not_assess_marks_no_one(cohort, lesson, student, who):
    by = student if who == "student" else builders.administrator()
    with pytest.raises(PermissionDenied):
        services.mark_attendance(by, cohort, lesson, {student.pk: True})


def test_only_students_of_the_cohort_and_lessons_of_its_version_are_marked(cohort, lesson, student):
    lead = builders.lead(cohort)
    with pytest.raises(PermissionDenied):
        services.mark_attendance(lead, cohort, lesson, {lead.pk: True})
    with pytest.raises(PermissionDenied):
        services.mark_attendance(lead, cohort, builders.lesson(), {student.pk: True})
