"""All that a student has measured, read in three queries however much it is."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import QuerySet
from django.db.models.fields.json import KeyTextTransform

from assessments.models import Attempt
from assessments.records.points import Line, lines_of
from assessments.records.student import LOOKED_AT, TRENDED, StudentRecord
from coursework.models.methods import is_travel
from solar.circular import is_swapped

MOST_OTHERS = 100
"""Results without a line, and attempts without a result, that are listed: the newest."""

_INPUTS = {
    "check_word": KeyTextTransform("check", "current__inputs"),
    "tolerance_word": KeyTextTransform("tolerance_deg", "current__inputs"),
}
# In the order of the columns of a `Line`.
_COLUMNS = (
    "method",
    "current__own_error_deg",
    "current__error_deg",
    "current__method_error_deg",
    "current__sun_azimuth_deg",
    "student",
    "drill__practised_by",
    "current__recorded_by",
    "current__recorded_by__name",
    "drill__site__name",
    *_INPUTS,
)


@dataclass(frozen=True, kw_only=True)
class Measured:
    """The lines as a record, and what else there is, the last observed first."""

    record: StudentRecord
    others: Sequence[Attempt]
    """Results without a line."""
    without: Sequence[Attempt]
    """Attempts that came to no result, by any method."""


def measured(attempts: QuerySet[Attempt]) -> Measured:
    """Of every attempt what sums need, and in full only what is shown or looked at."""
    numbers, columns, others, without = [], [], [], []
    rows = attempts.filter(current__isnull=False).order_by("observed_at", "pk")
    rows = rows.annotate(**_INPUTS).values_list("pk", "current__no_result", *_COLUMNS)
    for number, reason, *of_line in rows:
        method, own_error_deg = of_line[:2]
        if reason:
            without.append(number)
        elif own_error_deg is not None:
            numbers.append(number)
            columns.append(of_line)
        elif is_travel(method):
            others.append(number)
    swapped = is_swapped([of_line[1] for of_line in columns]).tolist()
    lines = [Line(*of_line, odd) for of_line, odd in zip(columns, swapped, strict=True)]
    sound = [number for number, odd in zip(numbers, swapped, strict=True) if not odd]
    # The first too, since a record says from which day on it is.
    in_full = {*numbers[:1], *numbers[-LOOKED_AT:], *sound[-TRENDED:]}
    points = lines_of(Attempt.objects.filter(pk__in=in_full))
    listed = [*others[-MOST_OTHERS:], *without[-MOST_OTHERS:]]
    found = list(Attempt.objects.filter(pk__in=listed).for_lines("facts"))
    return Measured(
        record=StudentRecord(points, lines),
        others=[attempt for attempt in found if not attempt.current.no_result],
        without=[attempt for attempt in found if attempt.current.no_result],
    )
