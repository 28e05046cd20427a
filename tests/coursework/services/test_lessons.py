"""Lessons and exercises of a draft: what comes before what, and their order."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.models import Exercise, Lesson
from tests import builders


@pytest.fixture
def admin(db):
    return builders.administrator()


@pytest.fixture
def draft(admin):
    return builders.draft(school=admin.school)


def test_a_new_lesson_goes_to_the_end(admin, draft):
    builders.lesson(course=draft, position=7)
    made = services.save_lesson(admin, Lesson(course=draft, title="Last"), [])
    assert made.position == 8


def test_a_ring_is_refused_and_named_in_full(admin, draft):
    first, second, third = (builders.lesson(course=draft, title=name) for name in "ABC")
    services.save_lesson(admin, second, [first])
    services.save_lesson(admin, third, [second])
    with pytest.raises(ValidationError) as caught:
        services.save_lesson(admin, first, [third])
    (sentence,) = caught.value.messages
    assert sum(f"“{name}”" in sentence for name in "ABC") == 3
    assert "in a ring" in sentence
    assert not first.prerequisites.exists()


def test_a_lesson_does_not_come_before_itself(admin, draft):
    lesson = builders.lesson(course=draft)
    with pytest.raises(ValidationError, match="in a ring"):
        services.save_lesson(admin, lesson, [lesson])


def test_lessons_of_another_course_come_before_nothing_here(admin, draft):
    other = builders.lesson(course=builders.draft(school=admin.school))
    with pytest.raises(PermissionDenied):
        services.save_lesson(admin, Lesson(course=draft, title="New"), [other])
    exercise = Exercise(course=draft, title="New", method="watch", task="Lay a line.")
    with pytest.raises(PermissionDenied):
        services.save_exercise(admin, exercise, [other])


@pytest.mark.parametrize("make", [builders.lesson, builders.exercise])
@pytest.mark.parametrize(
    ("which", "up", "moved", "order"),
    [(1, True, True, [1, 0, 2]), (1, False, True, [0, 2, 1]), (0, True, False, [0, 1, 2]),
     (2, False, False, [0, 1, 2])],
)  # fmt: skip
def test_one_place_up_or_down_and_no_further(admin, draft, make, which, up, moved, order):
    # All on one position, as rows of earlier days may be: their order is that of their making.
    rows = [make(course=draft, position=1) for _ in range(3)]
    assert services.shift(admin, rows[which], up=up) is moved
    stored = type(rows[0]).objects.filter(course=draft).order_by("position", "id")
    assert list(stored) == [rows[n] for n in order]


def test_what_is_published_keeps_its_order(admin):
    lesson = builders.lesson(course=builders.course(school=admin.school))
    with pytest.raises(ValidationError, match="stays as it is"):
        services.shift(admin, lesson, up=True)
    with pytest.raises(ValidationError, match="stays as it is"):
        services.save_lesson(admin, lesson, [])
