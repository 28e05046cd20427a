"""What differs between two versions of a course, in plain words."""

from collections.abc import Callable
from dataclasses import dataclass, field
from difflib import ndiff

from django.db import models
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from coursework.models import Course, Exercise, Lesson

_SAID: dict[str, Callable] = {
    "tolerance": lambda exercise: exercise.tolerance_in_words,
    "target_deg": lambda exercise: exercise.target_in_words,
    "minutes": lambda lesson: _("%(number)s min") % {"number": lesson.minutes},
}
# What says where a thing stands, and not what it is.
_NOT_COMPARED = {"id", "course", "key", "position"}


@dataclass(frozen=True)
class FieldChange:
    """One field: `old` and `new` where it is one line, otherwise the lines that went and came."""

    name: str
    old: str = ""
    new: str = ""
    gone: list[str] = field(default_factory=list)
    come: list[str] = field(default_factory=list)

    @property
    def is_by_line(self) -> bool:
        return bool(self.gone or self.come)


@dataclass(frozen=True)
class Changed:
    """A lesson or exercise that both versions have, with what is different."""

    title: str
    fields: list[FieldChange]


@dataclass(frozen=True)
class Differences:
    """Of one kind of thing: titles added and removed, what changed, whether the order did."""

    added: list[str]
    removed: list[str]
    changed: list[Changed]
    reordered: list[str]

    def __bool__(self) -> bool:
        return bool(self.added or self.removed or self.changed or self.reordered)


@dataclass(frozen=True)
class Changes:
    """From one version of a course to another."""

    course: list[FieldChange]
    lessons: Differences
    exercises: Differences

    def __bool__(self) -> bool:
        return bool(self.course or self.lessons or self.exercises)


def changes_between(old: Course, new: Course) -> Changes:
    """Lessons and exercises are told apart by their keys, so that a new title is a change."""
    return Changes(
        course=_fields(old, new, ("title", "summary")),
        lessons=_differences(
            old.lessons.prefetch_related("prerequisites"),
            new.lessons.prefetch_related("prerequisites"),
            "prerequisites",
        ),
        exercises=_differences(
            old.exercises.prefetch_related("lessons"),
            new.exercises.prefetch_related("lessons"),
            "lessons",
        ),
    )


def _differences(old_rows: models.QuerySet, new_rows: models.QuerySet, before: str) -> Differences:
    old = {row.key: row for row in old_rows.order_by("position", "id")}
    new = {row.key: row for row in new_rows.order_by("position", "id")}
    changed = []
    for key, row in new.items():
        if key in old and (fields := _of_row(old[key], row, before)):
            changed.append(Changed(row.title, fields))
    both = [key for key in new if key in old]
    reordered = both != [key for key in old if key in new]
    return Differences(
        added=[row.title for key, row in new.items() if key not in old],
        removed=[row.title for key, row in old.items() if key not in new],
        changed=changed,
        reordered=[new[key].title for key in both] if reordered else [],
    )


def _of_row(old: Lesson | Exercise, new: Lesson | Exercise, before: str) -> list[FieldChange]:
    # All fields of the table, so that none is passed over when one is added to it.
    names = [row.name for row in old._meta.concrete_fields if row.name not in _NOT_COMPARED]
    found = _fields(old, new, names)
    # A lesson before it that merely got another title is told with that lesson.
    if {row.key for row in getattr(old, before).all()} != {
        row.key for row in getattr(new, before).all()
    }:
        name = capfirst(str(old._meta.get_field(before).verbose_name))
        found.append(FieldChange(name, _titles(old, before), _titles(new, before)))
    return found


def _titles(row: Lesson | Exercise, before: str) -> str:
    titles = sorted(lesson.title for lesson in getattr(row, before).all())
    return ", ".join(titles) or _("none")


def _fields(old: models.Model, new: models.Model, names) -> list[FieldChange]:
    found = []
    for name in names:
        if getattr(old, name) == getattr(new, name):
            continue
        row = old._meta.get_field(name)
        label = capfirst(str(row.verbose_name))
        if isinstance(row, models.TextField):
            gone, come = _lines(getattr(old, name), getattr(new, name))
            if gone or come:
                found.append(FieldChange(label, gone=gone, come=come))
        else:
            found.append(FieldChange(label, _in_words(old, row), _in_words(new, row)))
    return found


def _lines(old: str, new: str) -> tuple[list[str], list[str]]:
    """The lines that went and those that came, blank ones aside."""
    rows = list(ndiff(old.splitlines(), new.splitlines()))
    return (
        [row[2:].strip() for row in rows if row.startswith("- ") and row[2:].strip()],
        [row[2:].strip() for row in rows if row.startswith("+ ") and row[2:].strip()],
    )


def _in_words(thing: models.Model, row: models.Field) -> str:
    if row.name in _SAID:
        said = _SAID[row.name](thing)
    elif row.choices:
        said = getattr(thing, f"get_{row.name}_display")()
    else:
        value = getattr(thing, row.name)
        if isinstance(value, bool):
            said = _("yes") if value else _("no")
        else:
            said = f"{value:g}" if isinstance(value, float) else value
    return _("none") if said in (None, "") else str(said)
