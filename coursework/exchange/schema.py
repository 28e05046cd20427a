"""The JSON schema of course files, made from the fields that the tables have.

A field that is added to a table is in the file from then on; those of `LEFT_OUT` never are.
"""

from collections.abc import Iterator
from typing import Any

from django.core.validators import (
    MaxLengthValidator,
    MaxValueValidator,
    MinLengthValidator,
    MinValueValidator,
)
from django.db import models

from coursework.exchange import FORMAT, MOST_ROWS, VERSION
from coursework.models import Course, Exercise, Lesson
from coursework.models.lessons import LONGEST_TEXT

# Numbers and keys of the database, and what is said by the order of a list in the file.
LEFT_OUT = {"id", "course", "key", "position"}
COURSE_FIELDS = ("title", "summary")
LONGEST_NAME = 60
_LIMITS = {
    MinValueValidator: ("minimum", max),
    MaxValueValidator: ("maximum", min),
    MaxLengthValidator: ("maxLength", min),
    MinLengthValidator: ("minLength", max),
}


def fields_of(model: type[models.Model]) -> Iterator[models.Field]:
    """The fields of a table that stand in the file under their own names."""
    for field in model._meta.concrete_fields:
        if model is Course:
            if field.name in COURSE_FIELDS:
                yield field
        elif field.name not in LEFT_OUT:
            yield field


def schema() -> dict[str, Any]:
    """The schema of a file of this version (JSON Schema, draft 2020-12)."""
    names = {
        "type": "array",
        "items": {"type": "string", "maxLength": LONGEST_NAME},
        "uniqueItems": True,
        "maxItems": MOST_ROWS,
    }
    name = {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A course of Plumbshadow",
        **_object(
            {
                "format": {"const": FORMAT},
                "version": {"const": VERSION},
                "course": _of(Course),
                "lessons": _rows(_of(Lesson, name=name, prerequisites=names)),
                "exercises": _rows(_of(Exercise, lessons=names)),
            },
            required=["format", "version", "course", "lessons", "exercises"],
        ),
    }


def _object(properties: dict, *, required: list[str]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


def _rows(of: dict) -> dict[str, Any]:
    return {"type": "array", "items": of, "maxItems": MOST_ROWS}


def _of(model: type[models.Model], **more: dict) -> dict[str, Any]:
    fields = list(fields_of(model))
    required = [field.name for field in fields if not field.blank and not field.has_default()]
    properties = {field.name: _value(field) for field in fields}
    return _object(properties | more, required=required + [n for n in more if n == "name"])


def _value(field: models.Field) -> dict[str, Any]:
    match field:
        case models.BooleanField():
            said: dict[str, Any] = {"type": "boolean"}
        case models.FloatField():
            said = {"type": "number"}
        case models.IntegerField():
            said = {"type": "integer"}
        case models.TextField() | models.CharField():
            said = {"type": "string", "maxLength": field.max_length or LONGEST_TEXT}
            if not field.blank:
                said["minLength"] = 1
            if field.choices:
                return {"enum": [value for value, _label in field.flatchoices if value != ""]}
        case _:
            raise TypeError(f"Course files cannot hold {field}.")
    for validator in field.validators:
        for kind, (keyword, narrower) in _LIMITS.items():
            if isinstance(validator, kind) and keyword != "minLength":
                limit = validator.limit_value
                said[keyword] = narrower(said.get(keyword, limit), limit)
    if field.null:
        said["type"] = [said["type"], "null"]
    return said
