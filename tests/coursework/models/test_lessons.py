"""Lessons: their lists, and the timing in their outlines."""

import pytest

from coursework.models import Attendance, Lesson
from tests import builders


def test_lists_have_a_line_each_and_no_blank_ones():
    lesson = Lesson(kit=" stick\n\ncord \n", objectives="", cautions="a\nb", references="c")
    assert lesson.kit_list == ["stick", "cord"]
    assert (lesson.objective_list, lesson.caution_list) == ([], ["a", "b"])
    assert lesson.reference_list == ["c"]


def test_headings_with_a_time_are_the_timing():
    lesson = Lesson(
        minutes=40,
        outline="# Set (10 min)\n\ntext (5 min)\n\n### Lay the line (25 min) ##\n## Talk",
    )
    parts = [(part.starts_min, part.title, part.minutes) for part in lesson.timing]
    assert parts == [(0, "Set", 10), (10, "Lay the line", 25)]
    assert (lesson.untimed_min, lesson.overrun_min) == (5, 0)


def test_parts_longer_than_the_lesson_are_an_overrun():
    lesson = Lesson(minutes=20, outline="# All (21 min)")
    assert (lesson.untimed_min, lesson.overrun_min) == (-1, 1)


@pytest.mark.django_db
def test_the_last_mark_of_each_person_is_the_one_that_stands():
    cohort = builders.cohort()
    lesson = builders.lesson(course=cohort.course)
    student, lead = builders.student(cohort), builders.lead(cohort)
    for present in (False, True):
        row = Attendance.objects.create(
            cohort=cohort,
            lesson=lesson,
            lesson_key=lesson.key,
            person=student,
            present=present,
            marked_by=lead,
        )
    assert list(Attendance.objects.standing()) == [row]
