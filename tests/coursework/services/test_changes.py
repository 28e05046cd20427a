"""What differs between two versions, in words."""

import pytest

from coursework import services
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair():
    """A published version with two lessons and two exercises, and the draft after it."""
    admin = builders.administrator()
    old = builders.course(school=admin.school, title="Sun")
    for position, name in enumerate(("First", "Second"), start=1):
        builders.lesson(course=old, title=name, position=position, kit="stick\ncord")
        builders.exercise(course=old, title=f"{name} line", position=position)
    return old, services.next_version(admin, old)


def test_two_versions_of_the_same_contents_do_not_differ(pair):
    assert not services.changes_between(*pair)


def test_what_was_added_and_what_was_removed_is_named(pair):
    old, new = pair
    new.lessons.get(title="First").delete()
    builders.lesson(course=new, title="Third", position=3)
    new.exercises.get(title="Second line").delete()
    changes = services.changes_between(old, new)
    assert (changes.lessons.added, changes.lessons.removed) == (["Third"], ["First"])
    assert (changes.exercises.added, changes.exercises.removed) == ([], ["Second line"])


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("tolerance", 7.5, ("Tolerance", "15°", "7.5°")),
        ("target_deg", 90.0, ("True bearing asked for", "true north", "true east")),
        ("attempts_needed", 5, ("Attempts needed within the standard", "3", "5")),
        ("forenoon_and_afternoon", True, ("Forenoon and afternoon both", "no", "yes")),
        ("title", "New", ("Title", "First line", "New")),
    ],
)
def test_a_changed_field_is_told_with_what_it_was_and_is(pair, field, value, said):
    old, new = pair
    exercise = new.exercises.get(title="First line")
    setattr(exercise, field, value)
    exercise.save()
    (changed,) = services.changes_between(old, new).exercises.changed
    assert [(row.name, row.old, row.new) for row in changed.fields] == [said]


def test_of_a_list_only_the_lines_that_went_and_came_are_told(pair):
    old, new = pair
    new.lessons.filter(title="First").update(kit="stick\npegs")
    (changed,) = services.changes_between(old, new).lessons.changed
    (row,) = changed.fields
    assert (row.name, row.gone, row.come) == ("Kit", ["cord"], ["pegs"])


def test_another_order_is_told_and_a_gap_is_none(pair):
    old, new = pair
    new.lessons.filter(title="First").update(position=9)
    changes = services.changes_between(old, new)
    assert changes.lessons.reordered == ["Second", "First"]
    assert not changes.exercises
    new.lessons.get(title="First").delete()
    assert services.changes_between(old, new).lessons.reordered == []


def test_another_lesson_before_it_is_a_change_and_its_new_title_is_not(pair):
    old, new = pair
    first, second = new.lessons.order_by("position")
    second.prerequisites.add(first)
    new.exercises.get(title="Second line").lessons.add(second)
    changes = services.changes_between(old, new)
    (lesson,), (exercise,) = changes.lessons.changed, changes.exercises.changed
    assert [(row.name, row.old, row.new) for row in lesson.fields] == [
        ("Lessons that come before", "none", "First")
    ]
    assert [(row.old, row.new) for row in exercise.fields] == [("none", "Second")]


def test_the_course_itself_is_compared(pair):
    old, new = pair
    new.title = "Sun and stars"
    (row,) = services.changes_between(old, new).course
    assert (row.name, row.old, row.new) == ("Title", "Sun", "Sun and stars")
