"""What is said before a draft is published."""

import pytest

from coursework import services
from coursework.services.readiness import remarks_to_publish
from tests import builders

pytestmark = pytest.mark.django_db
FULL = {"objectives": "a", "outline": "# b (5 min)", "kit": "c", "cautions": "d", "minutes": 30}


@pytest.fixture
def draft():
    return builders.draft()


def remarks(course) -> str:
    return " ".join(remarks_to_publish(course))


def test_nothing_is_said_of_a_draft_that_has_all(draft):
    builders.lesson(course=draft, **FULL)
    builders.exercise(course=draft)
    assert remarks_to_publish(draft) == []
    assert services.missing_to_publish(draft) == []


@pytest.mark.parametrize(
    ("field", "name"),
    [("objectives", "objectives"), ("outline", "outline"), ("kit", "kit list"),
     ("cautions", "cautions")],
)  # fmt: skip
def test_what_a_lesson_lacks_is_named(draft, field, name):
    lesson = builders.lesson(course=draft, **FULL | {field: " "})
    assert f"The lesson “{lesson.title}” has no {name}." in remarks(draft)


def test_parts_that_take_too_long_are_named(draft):
    builders.lesson(course=draft, **FULL | {"outline": "# b (36 min)"})
    assert "take 6 min more than the lesson" in remarks(draft)


def test_a_lesson_that_stands_before_what_comes_before_it_is_named(draft):
    first = builders.lesson(course=draft, title="First", position=1, **FULL)
    second = builders.lesson(course=draft, title="Second", position=2, **FULL)
    first.prerequisites.add(second)
    assert "“Second” comes before “First”, but stands after it." in remarks(draft)


def test_an_exercise_without_steps_is_named(draft):
    builders.exercise(course=draft, title="Line", steps="")
    assert "The exercise “Line” has no performance steps." in remarks(draft)
