"""Removing things that nothing of record hangs on."""

from collections.abc import Collection

from django.db import models, transaction
from django.db.models.deletion import Collector
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coursework import policies
from coursework.models import (
    Attendance,
    Cohort,
    Course,
    Decision,
    Drill,
    Exercise,
    Incident,
    Instrument,
    InstrumentCheck,
    Lesson,
    Person,
    PlannedLesson,
    Site,
)
from coursework.services.courses import frozen_sentence

RESULTS = gettext_lazy("Results have been logged there, so it stays: results are kept for good.")
REASONS = {
    Drill: RESULTS,
    Cohort: RESULTS,
    Instrument: gettext_lazy("Results have been checked with it, so it stays: retire it instead."),
    Exercise: gettext_lazy("Drills of this exercise are planned or were held, so it stays."),
    Site: gettext_lazy("Drills or lessons are planned there or were held there, so it stays."),
    Lesson: gettext_lazy("Attendance at this lesson has been taken, so it stays."),
    PlannedLesson: gettext_lazy("Attendance at this lesson has been taken, so it stays."),
    Course: gettext_lazy("There are cohorts of this course, so it stays."),
}
RECORDS = {
    Incident: gettext_lazy("An incident or a near miss is on record there, so it stays."),
    Decision: gettext_lazy("Whether it goes out was decided and is on record, so it stays."),
    InstrumentCheck: gettext_lazy("Checks of instruments are on record, so it stays."),
}
"""What holds a thing where nothing of `REASONS` does."""


class HeldError(Exception):
    """A thing could not be removed; the message is a sentence that says what holds it."""


def is_held(thing: models.Model, *, besides: Collection[type[models.Model]] = ()) -> bool:
    """Whether records that must not be lost, those of `besides` aside, point to the thing."""
    return any(model not in besides for model in _holders(thing))


def _holders(thing: models.Model) -> set[type[models.Model]]:
    if isinstance(thing, PlannedLesson):
        # Marks are of the lesson and the cohort; when it was held is said here alone.
        marks = Attendance.objects.filter(cohort=thing.cohort_id, lesson_key=thing.lesson.key)
        return {Attendance} if marks.exists() else set()
    return {
        relation.related_model
        for relation in thing._meta.related_objects
        if relation.on_delete is models.PROTECT
        and relation.related_model._base_manager.filter(_points_to(thing, relation)).exists()
    }


def _points_to(thing: models.Model, relation: models.ForeignObjectRel) -> models.Q:
    if isinstance(thing, Course):
        # A course is all its versions.
        return models.Q(**{f"{relation.field.name}__lineage": thing.lineage})
    return models.Q(**{relation.field.name: thing})


def reason_to_stay(thing: models.Model) -> str | None:
    """The sentence why a thing, or what belongs to it, cannot be removed; None where it can."""
    holders = _holders(thing) or _holders_of_parts(thing)
    return _reason(thing, holders) if holders else None


def _holders_of_parts(thing: models.Model) -> set[type[models.Model]]:
    """What holds something that would go with the thing, such as a drill of a cohort."""
    try:
        Collector(using=thing._state.db, origin=thing).collect([thing])
    except models.ProtectedError as error:
        return {type(record) for record in error.protected_objects}
    return set()


def remove(by: Person, thing: models.Model) -> None:
    """Delete a thing with what belongs to it; HeldError where results or drills hang on it.

    A course goes with all its versions; a lesson or an exercise only from a draft.
    """
    policies.require(policies.may_arrange(by, thing))
    if isinstance(thing, Exercise | Lesson) and not thing.course.is_draft:
        raise HeldError(frozen_sentence(thing.course))
    if isinstance(thing, PlannedLesson) and is_held(thing):
        raise HeldError(_reason(thing, _holders(thing)))
    try:
        with transaction.atomic():
            if isinstance(thing, Course):
                thing.versions.delete()
            else:
                thing.delete()
    except models.ProtectedError as error:
        holders = {type(record) for record in error.protected_objects}
        raise HeldError(_reason(thing, holders)) from error


def _reason(thing: models.Model, holders: set[type[models.Model]]) -> str:
    if holders <= set(RECORDS):
        return next(str(said) for model, said in RECORDS.items() if model in holders)
    return str(REASONS.get(type(thing), _("Other records hang on it, so it stays.")))
