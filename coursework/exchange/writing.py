"""A course version as the content of its file."""

import json
from typing import Any

from django.db import models

from coursework.exchange import FORMAT, VERSION
from coursework.exchange.schema import fields_of
from coursework.models import Course


def document_of(course: Course) -> dict[str, Any]:
    """The course as plain values: the same for the same contents, whatever their numbers.

    Lessons are named by their place ("lesson 1"), so that others can say what comes before them.
    """
    lessons = list(course.lessons.order_by("position", "id").prefetch_related("prerequisites"))
    exercises = course.exercises.order_by("position", "id").prefetch_related("lessons")
    names = {lesson.pk: f"lesson {place}" for place, lesson in enumerate(lessons, start=1)}
    places = {lesson.pk: place for place, lesson in enumerate(lessons)}

    def named(rows) -> list[str]:
        return [names[row.pk] for row in sorted(rows, key=lambda row: places[row.pk])]

    return {
        "format": FORMAT,
        "version": VERSION,
        "course": _values(course),
        "lessons": [
            {"name": names[lesson.pk]}
            | _values(lesson)
            | {"prerequisites": named(lesson.prerequisites.all())}
            for lesson in lessons
        ],
        "exercises": [
            _values(exercise) | {"lessons": named(exercise.lessons.all())} for exercise in exercises
        ],
    }


def text_of(course: Course) -> str:
    """The file: readable by people, in UTF-8 as it stands, with a line break at its end."""
    return json.dumps(document_of(course), ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _values(thing: models.Model) -> dict[str, Any]:
    return {field.name: getattr(thing, field.name) for field in fields_of(type(thing))}
