"""A cohort moves to a newer version; its drills follow, stay or are told of."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import policies, services
from coursework.models import Course
from tests import builders

pytestmark = pytest.mark.django_db
BEFORE = builders.MIDSUMMER_MORNING - timedelta(days=3)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


def newer(lead, cohort) -> Course:
    draft = services.next_version(lead, cohort.course)
    Course.objects.filter(pk=draft.pk).update(published_at=builders.SPRING)
    draft.refresh_from_db()
    return draft


def test_a_drill_to_come_follows_its_exercise_by_the_key(cohort, lead):
    drill = builders.drill(cohort=cohort)
    course = newer(lead, cohort)
    course.exercises.update(title="Renamed")
    services.move_cohort(lead, cohort, course, now=BEFORE)
    drill.refresh_from_db()
    cohort.refresh_from_db()
    assert cohort.course == course
    assert (drill.exercise.course, drill.exercise.title) == (course, "Renamed")


def test_a_drill_of_an_exercise_that_is_gone_stays_with_the_old_one(cohort, lead):
    drill = builders.drill(cohort=cohort)
    course = newer(lead, cohort)
    course.exercises.all().delete()
    told = services.move_cohort(lead, cohort, course, now=BEFORE)
    assert told.orphaned == [drill]
    before = drill.exercise_id
    drill.refresh_from_db()
    assert drill.exercise_id == before


def test_a_drill_that_has_begun_stays(cohort, lead):
    drill = builders.drill(cohort=cohort)
    course = newer(lead, cohort)
    told = services.move_cohort(lead, cohort, course, now=drill.starts_at)
    assert (told.kept, told.follow) == ([drill], [])


def test_a_student_still_sees_the_exercise_that_an_older_drill_is_of(cohort, lead):
    drill = builders.drill(cohort=cohort)
    student = builders.student(cohort)
    services.move_cohort(lead, cohort, newer(lead, cohort), now=drill.starts_at)
    assert drill.exercise in policies.visible_exercises(student)


def test_a_planned_lesson_to_come_follows_its_lesson_by_the_key(cohort, lead):
    planned = builders.planned_lesson(cohort=cohort)
    begun = builders.planned_lesson(cohort=cohort, lesson=planned.lesson, starts_at=BEFORE)
    course = newer(lead, cohort)
    told = services.move_cohort(lead, cohort, course, now=BEFORE)
    for one in (planned, begun):
        one.refresh_from_db()
    assert [one for one, _lesson in told.lessons_follow] == [planned]
    assert (planned.lesson.course, planned.lesson.key) == (course, begun.lesson.key)
    assert begun.lesson.course != course


def test_calendars_are_told_of_what_is_called_otherwise_in_the_new_version(cohort, lead):
    renamed, other = (builders.planned_lesson(cohort=cohort) for _n in range(2))
    drill = builders.drill(cohort=cohort)
    course = newer(lead, cohort)
    course.lessons.filter(key=renamed.lesson.key).update(title="Another name")
    course.exercises.filter(key=drill.exercise.key).update(title="Another name")
    services.move_cohort(lead, cohort, course, now=BEFORE)
    for one in (renamed, other, drill):
        one.refresh_from_db()
    assert [one.sequence for one in (renamed, other, drill)] == [1, 0, 1]
    assert renamed.changed_at == BEFORE


def test_a_planned_lesson_that_the_new_version_lacks_stays_with_the_old_one(cohort, lead):
    planned = builders.planned_lesson(cohort=cohort)
    course = newer(lead, cohort)
    course.lessons.all().delete()
    told = services.move_cohort(lead, cohort, course, now=BEFORE)
    assert told.lessons_orphaned == [planned]
    before = planned.lesson_id
    planned.refresh_from_db()
    assert planned.lesson_id == before
    assert planned.lesson in policies.visible_lessons(builders.student(cohort))


@pytest.mark.parametrize("kind", ["draft", "other", "older"])
def test_only_a_newer_published_version_of_the_own_course_is_moved_to(cohort, lead, kind):
    if kind == "draft":
        target = services.next_version(lead, cohort.course)
    elif kind == "other":
        target = builders.course(school=cohort.course.school, number=2)
    else:
        target = cohort.course
    with pytest.raises(ValidationError, match="newer published version"):
        services.move_cohort(lead, cohort, target)


def test_a_name_that_the_newer_version_has_already_is_refused(cohort, lead):
    course = newer(lead, cohort)
    builders.cohort(course=course, name=cohort.name)
    with pytest.raises(ValidationError, match="Rename one of them"):
        services.move_cohort(lead, cohort, course)


def test_who_does_not_arrange_the_cohort_does_not_move_it(cohort, lead):
    course = newer(lead, cohort)
    with pytest.raises(PermissionDenied):
        services.move_cohort(builders.assistant(cohort), cohort, course)
