"""Removing things that nothing of record hangs on."""

from django.db import models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coursework import policies
from coursework.models import Cohort, Course, Drill, Exercise, Instrument, Person, Site

RESULTS = gettext_lazy("Results have been logged there, so it stays: results are kept for good.")
REASONS = {
    Drill: RESULTS,
    Cohort: RESULTS,
    Instrument: gettext_lazy("Results have been checked with it, so it stays."),
    Exercise: gettext_lazy("Drills of this exercise are planned or were held, so it stays."),
    Site: gettext_lazy("Drills are planned there or were held there, so it stays."),
    Course: gettext_lazy("There are cohorts of this course, so it stays."),
}


class HeldError(Exception):
    """A thing could not be removed; the message is a sentence that says what holds it."""


def is_held(thing: models.Model) -> bool:
    """Whether records that must not be lost point to the thing itself."""
    return any(
        relation.related_model._base_manager.filter(**{relation.field.name: thing}).exists()
        for relation in thing._meta.related_objects
        if relation.on_delete is models.PROTECT
    )


def reason_to_stay(thing: models.Model) -> str | None:
    """The sentence why a thing cannot be removed; None where nothing holds the thing itself.

    What belongs to it may still be held (a cohort's drills): `remove` finds that out.
    """
    return _reason(thing) if is_held(thing) else None


def remove(by: Person, thing: models.Model) -> None:
    """Delete a thing with what belongs to it; HeldError where results or drills hang on it."""
    policies.require(policies.may_arrange(by, thing))
    try:
        with transaction.atomic():
            thing.delete()
    except models.ProtectedError as error:
        raise HeldError(_reason(thing)) from error


def _reason(thing: models.Model) -> str:
    return str(REASONS.get(type(thing), _("Other records hang on it, so it stays.")))
