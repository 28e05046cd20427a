"""Reading a course file: every fault with its place, or the course as unsaved rows."""

import json
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from coursework.exchange import LARGEST_BYTES
from coursework.exchange.faults import Fault, pointer, schema_faults
from coursework.exchange.schema import fields_of
from coursework.models import Course, Exercise, Lesson
from coursework.rings import ring_among, ring_sentence

_DEEPEST = 12


class FaultyFileError(ValueError):
    """A file that cannot be imported; `faults` has every fault that could be told."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults[:5]))
        self.faults = faults


@dataclass(frozen=True)
class CourseFile:
    """What a good file holds. Names of lessons are those of the file."""

    course: Course
    lessons: dict[str, Lesson]
    exercises: list[Exercise]
    prerequisites: dict[str, list[str]] = field(default_factory=dict)
    needed: list[list[str]] = field(default_factory=list)


class _Object(dict):
    """A JSON object that remembers which of its names were said more than once."""

    repeated: tuple[str, ...] = ()


def read(content: bytes) -> CourseFile:
    """The course in a file's bytes; FaultyFileError with all faults where there is any."""
    document = _parsed(content)
    faults = list(_faults_of_texts(document, ()))
    faults += schema_faults(document)
    if isinstance(document, dict):
        faults += _faults_between(document)
        faults += _faults_of_rows(document, {fault.place for fault in faults})
    if faults:
        raise FaultyFileError(sorted(set(faults), key=lambda fault: fault.sort_key))
    return _built(document)


def _parsed(content: bytes) -> Any:
    if len(content) > LARGEST_BYTES:
        sentence = _("The file is larger than %(size)s kB, which no course is.")
        raise _whole(sentence % {"size": LARGEST_BYTES // 1000})
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        sentence = _("The file is not text in UTF-8: byte %(place)s does not fit.")
        raise _whole(sentence % {"place": error.start + 1}) from error
    if not text.strip():
        raise _whole(_("The file is empty."))
    try:
        return json.loads(text, object_pairs_hook=_object, parse_constant=_refuse_constant)
    except json.JSONDecodeError as error:
        sentence = _("This is not JSON: line %(line)s, column %(column)s cannot be read.")
        raise _whole(sentence % {"line": error.lineno, "column": error.colno}) from error
    except _ConstantError as error:
        raise _whole(_("“%s” is not a number that JSON has.") % error) from error
    except RecursionError as error:
        raise _whole(_("Its lists and objects stand in each other too deeply.")) from error
    except ValueError as error:
        # The one thing left that Python's reader refuses.
        raise _whole(_("It has a number with thousands of digits.")) from error


def _whole(sentence: str) -> FaultyFileError:
    return FaultyFileError([Fault("", sentence)])


class _ConstantError(ValueError):
    pass


def _refuse_constant(word: str) -> float:
    raise _ConstantError(word)


def _object(pairs: list[tuple[str, Any]]) -> _Object:
    made = _Object(pairs)
    if len(made) < len(pairs):
        seen: set[str] = set()
        made.repeated = tuple(
            dict.fromkeys(name for name, _value in pairs if name in seen or seen.add(name))
        )
    return made


def _faults_of_texts(value: Any, path: tuple) -> Iterator[Fault]:
    """What no schema says: names said twice, and characters that are no text."""
    if len(path) > _DEEPEST:
        yield Fault(pointer(path), _("Lists and objects stand in each other too deeply here."))
    elif isinstance(value, dict):
        for name in getattr(value, "repeated", ()):
            yield Fault(pointer((*path, name)), _("Said more than once in the same object."))
        for name, inner in value.items():
            yield from _faults_of_texts(inner, (*path, name))
    elif isinstance(value, list):
        for place, inner in enumerate(value):
            yield from _faults_of_texts(inner, (*path, place))
    elif isinstance(value, str):
        if any(character == "\0" or "\ud800" <= character <= "\udfff" for character in value):
            yield Fault(pointer(path), _("Has a character that is no text (NUL or half a pair)."))
    elif isinstance(value, float) and not math.isfinite(value):
        yield Fault(pointer(path), _("This number is too large."))


def _rows(document: dict, name: str) -> list[tuple[int, dict]]:
    rows = document.get(name)
    if not isinstance(rows, list):
        return []
    return [(place, row) for place, row in enumerate(rows) if isinstance(row, dict)]


def _texts(value: Any) -> list[tuple[int, str]]:
    if not isinstance(value, list):
        return []
    return [(place, text) for place, text in enumerate(value) if isinstance(text, str)]


def _faults_between(document: dict) -> Iterator[Fault]:
    """Names and titles said twice, lessons that are not there, rings of prerequisites."""
    for rows, of in (("lessons", "title"), ("lessons", "name"), ("exercises", "title")):
        seen: dict[str, int] = {}
        for place, row in _rows(document, rows):
            said = row.get(of)
            if isinstance(said, str) and seen.setdefault(said.casefold(), place) != place:
                sentence = _("Number %(number)s of the list has this already.")
                number = seen[said.casefold()] + 1
                yield Fault(pointer((rows, place, of)), sentence % {"number": number})
    lessons = {row.get("name"): row for _place, row in _rows(document, "lessons")
               if isinstance(row.get("name"), str)}  # fmt: skip
    for rows, of in (("lessons", "prerequisites"), ("exercises", "lessons")):
        for place, row in _rows(document, rows):
            for number, name in _texts(row.get(of)):
                if name not in lessons:
                    sentence = _("No lesson of the file has the name “%(name)s”.")
                    yield Fault(pointer((rows, place, of, number)), sentence % {"name": name})
    before = {
        name: {other for _number, other in _texts(row.get("prerequisites")) if other in lessons}
        for name, row in lessons.items()
    }
    if ring := ring_among(before):
        yield Fault("/lessons", ring_sentence(ring))


def _faults_of_rows(document: dict, faulty: set[str]) -> Iterator[Fault]:
    """What a table asks of a row as a whole, where each of its values can be read."""
    for name, model in (("lessons", Lesson), ("exercises", Exercise)):
        for place, row in _rows(document, name):
            here = pointer((name, place))
            if any(fault == here or fault.startswith(f"{here}/") for fault in faulty):
                continue
            yield from _faults_of(model, row, (name, place))
    course = document.get("course")
    if isinstance(course, dict) and not any(fault.startswith("/course") for fault in faulty):
        yield from _faults_of(Course, course, ("course",))


def _faults_of(model: type, row: dict, path: tuple) -> Iterator[Fault]:
    made = _row(model, row)
    there = {field.name for field in fields_of(model)}
    left_out = {field.name for field in model._meta.concrete_fields} - there
    try:
        made.full_clean(exclude=left_out, validate_unique=False, validate_constraints=False)
    except ValidationError as error:
        for name, sentences in error.message_dict.items():
            at = pointer((*path, name) if name in there else path)
            yield from (Fault(at, sentence) for sentence in sentences)
        return
    try:
        made.validate_constraints(exclude=left_out)
    except ValidationError as error:
        for sentence in error.messages:
            yield Fault(pointer(path), sentence)
    title = row.get("title", "")
    # French sets its question marks apart with a space at which no line breaks.
    if title != title.strip() or not title.replace("\N{NO-BREAK SPACE}", " ").isprintable():
        yield Fault(
            pointer((*path, "title")),
            _("A title is one line of text, without spaces before or after it."),
        )


def _row(model: type, row: dict):
    given = {field.name: field.to_python(row[field.name])
             for field in fields_of(model) if field.name in row}  # fmt: skip
    return model(**given)


def _built(document: dict) -> CourseFile:
    lessons = {row["name"]: _row(Lesson, row) for row in document["lessons"]}
    exercises = [_row(Exercise, row) for row in document["exercises"]]
    for rows in (lessons.values(), exercises):
        for position, row in enumerate(rows, start=1):
            row.position = position
    return CourseFile(
        course=_row(Course, document["course"]),
        lessons=lessons,
        exercises=exercises,
        prerequisites={row["name"]: row.get("prerequisites", []) for row in document["lessons"]},
        needed=[row.get("lessons", []) for row in document["exercises"]],
    )
