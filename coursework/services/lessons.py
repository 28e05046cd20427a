"""Lessons and exercises of a draft: saved with what comes before them, and put in order."""

from collections.abc import Iterable

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max

from coursework import policies
from coursework.models import Exercise, Lesson, Person
from coursework.rings import ring_among, ring_sentence
from coursework.services.courses import require_draft


def prerequisite_ring(lesson: Lesson, prerequisites: Iterable[Lesson]) -> list[str]:
    """Titles along the ring that these prerequisites of a lesson would close; none if none."""
    # Nothing can depend on a lesson that is not stored yet.
    if lesson.pk is None:
        return []
    titles = dict(Lesson.objects.filter(course=lesson.course_id).values_list("pk", "title"))
    before: dict[int, set[int]] = {pk: set() for pk in titles}
    rows = Lesson.prerequisites.through.objects.filter(from_lesson__course=lesson.course_id)
    for later, earlier in rows.values_list("from_lesson", "to_lesson"):
        before[later].add(earlier)
    before[lesson.pk] = {other.pk for other in prerequisites}
    return [titles[pk] for pk in ring_among(before)]


@transaction.atomic
def save_lesson(by: Person, lesson: Lesson, prerequisites: Iterable[Lesson]) -> Lesson:
    """Store a lesson of a draft and what comes before it; a new one goes to the end."""
    course = require_draft(by, lesson.course)
    prerequisites = list(prerequisites)
    _require_of_course(course.pk, prerequisites)
    if ring := prerequisite_ring(lesson, prerequisites):
        raise ValidationError({"prerequisites": ring_sentence(ring)})
    if lesson.pk is None:
        lesson.position = _next_position(course.lessons)
    lesson.save()
    lesson.prerequisites.set(prerequisites)
    return lesson


@transaction.atomic
def save_exercise(by: Person, exercise: Exercise, lessons: Iterable[Lesson]) -> Exercise:
    """Store an exercise of a draft and the lessons before it; a new one goes to the end."""
    course = require_draft(by, exercise.course)
    lessons = list(lessons)
    _require_of_course(course.pk, lessons)
    if exercise.pk is None:
        exercise.position = _next_position(course.exercises)
    exercise.save()
    exercise.lessons.set(lessons)
    return exercise


@transaction.atomic
def shift(by: Person, thing: Lesson | Exercise, *, up: bool) -> bool:
    """Move a lesson or an exercise of a draft one place; False where it is at that end already."""
    require_draft(by, thing.course)
    order = list(type(thing).objects.filter(course=thing.course_id).order_by("position", "id"))
    place = order.index(thing)
    other = place - 1 if up else place + 1
    if not 0 <= other < len(order):
        return False
    order[place], order[other] = order[other], order[place]
    for position, row in enumerate(order, start=1):
        row.position = position
    type(thing).objects.bulk_update(order, ["position"])
    return True


def _next_position(rows) -> int:
    return (rows.aggregate(last=Max("position"))["last"] or 0) + 1


def _require_of_course(course_pk: int, lessons: list[Lesson]) -> None:
    policies.require(all(lesson.course_id == course_pk for lesson in lessons))
