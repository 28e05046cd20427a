"""Publishing, changing, discarding and copying courses."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.exchange.writing import document_of
from coursework.models import Course, Exercise, Lesson
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def admin():
    return builders.administrator()


def filled(course: Course) -> Course:
    """Two lessons, one before the other, and an exercise after the second."""
    first, second = (builders.lesson(course=course, position=n) for n in (1, 2))
    second.prerequisites.add(first)
    exercise = builders.exercise(course=course, distinct_days=2)
    exercise.lessons.add(second)
    return course


def test_publishing_says_who_and_when(admin):
    course = services.publish(admin, filled(builders.draft(school=admin.school)))
    assert course.published_by == admin
    assert not course.is_draft


def test_a_course_that_was_published_meanwhile_is_not_saved_over(admin):
    course = filled(builders.draft(school=admin.school, title="Sun"))
    services.publish(admin, course)
    course.title = "Moon"  # as a form does that was opened before
    with pytest.raises(ValidationError, match="stays as it is"):
        services.save_course(admin, course)
    course.refresh_from_db()
    assert (course.title, course.is_draft) == ("Sun", False)


def test_an_empty_draft_is_not_published(admin):
    with pytest.raises(ValidationError, match="neither a lesson nor an exercise"):
        services.publish(admin, builders.draft(school=admin.school))


def test_what_is_published_is_not_published_again(admin):
    course = filled(builders.course(school=admin.school))
    with pytest.raises(ValidationError, match="stays as it is"):
        services.publish(admin, course)


def test_a_second_version_says_what_changed_before_it_is_published(admin):
    draft = services.next_version(admin, filled(builders.course(school=admin.school)))
    with pytest.raises(ValidationError, match="what changed since version 1"):
        services.publish(admin, draft)
    Course.objects.filter(pk=draft.pk).update(change_note="Tighter.")
    assert services.publish(admin, draft).number == 2


def test_the_next_version_has_the_same_contents_under_the_same_keys(admin):
    course = filled(builders.course(school=admin.school))
    draft = services.next_version(admin, course)
    assert (draft.lineage, draft.number, draft.is_draft) == (course.lineage, 2, True)
    assert document_of(draft) == document_of(course)
    for rows in ("lessons", "exercises"):
        keys = [[row.key for row in getattr(c, rows).all()] for c in (course, draft)]
        assert keys[0] == keys[1] != []


def test_changing_an_older_version_goes_on_from_the_newest(admin):
    old = builders.course(school=admin.school)
    new = builders.course(school=admin.school, title=old.title, lineage=old.lineage, number=2)
    builders.exercise(course=new, title="Only in the second")
    draft = services.next_version(admin, old)
    assert (draft.number, draft.exercises.get().title) == (3, "Only in the second")


def test_a_second_wish_to_change_gives_the_same_draft(admin):
    course = builders.course(school=admin.school)
    assert services.next_version(admin, course) == services.next_version(admin, course)


def test_a_discarded_draft_leaves_the_published_version(admin):
    course = filled(builders.course(school=admin.school))
    before = document_of(course)
    services.discard_draft(admin, services.next_version(admin, course))
    assert list(Course.objects.all()) == [course]
    assert document_of(course) == before


def test_a_published_version_is_not_discarded(admin):
    with pytest.raises(ValidationError, match="stays as it is"):
        services.discard_draft(admin, builders.course(school=admin.school))


def test_a_copy_is_a_course_of_its_own(admin):
    course = filled(builders.course(school=admin.school))
    copied = services.copy_course(admin, course, title="Another")
    assert (copied.number, copied.is_draft) == (1, True)
    assert copied.lineage != course.lineage
    assert document_of(copied) == document_of(course) | {
        "course": {"title": "Another", "summary": ""}
    }
    assert not Exercise.objects.filter(course=copied, key__in=course.exercises.values("key"))
    assert not Lesson.objects.filter(course=copied, key__in=course.lessons.values("key"))


@pytest.mark.parametrize(
    "act",
    [
        services.publish,
        services.next_version,
        services.discard_draft,
        lambda by, course: services.copy_course(by, course, title="x"),
    ],
)
def test_who_does_not_arrange_the_school_changes_no_version(act):
    cohort = builders.cohort()
    draft = builders.draft(school=cohort.course.school)
    for person in (builders.assistant(cohort), builders.administrator()):
        with pytest.raises(PermissionDenied):
            act(person, draft)
