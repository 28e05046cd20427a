"""What saving, cancelling and taking up again is for drills and planned lessons alike."""

from collections.abc import Collection
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext as _

from coursework import policies
from coursework.conflicts import AnyPlan, Conflict, conflicts_of_plan
from coursework.models import Person, School
from coursework.models.bookings import Booking


def open_conflicts(plan: AnyPlan) -> list[Conflict]:
    """The conflicts of a plan that nobody has taken on with a reason."""
    taken = set()
    if plan.booking.pk is not None:
        taken = set(plan.booking.plan_exceptions.values_list("key", flat=True))
    return [conflict for conflict in conflicts_of_plan(plan) if conflict.key not in taken]


def conflicts_to_take_on(
    plan: AnyPlan, *, reason: str, seen: Collection[str], now: datetime
) -> list[Conflict]:
    """The open conflicts of what is to come; ValidationError unless `reason` says why it is held
    all the same and `seen` holds the keys of all of them. The school is locked."""
    booking = plan.booking
    # Two leads who save at once: the second sees the first one's plan as a conflict.
    School.objects.select_for_update().get(pk=booking.cohort.course.school_id)
    found = [] if booking.is_over(now) or booking.is_cancelled else open_conflicts(plan)
    if found and not (reason.strip() and {conflict.key for conflict in found} <= set(seen)):
        raise ValidationError(
            _(
                "Something speaks against this plan, so nothing is saved yet: read “What speaks "
                "against it”. Change the plan, or say at the end of the form why it is held all "
                "the same."
            )
        )
    return found


def refuse_a_second_one(plan: AnyPlan, *fields: str, sentence: str) -> None:
    """ValidationError where a new one, alike in these fields, lead and groups, is there by now.

    Two presses of a button at once both pass the form; the school is locked by then.
    """
    booking = plan.booking
    if booking.pk is not None:
        return
    wanted = {name: getattr(booking, name) for name in (*fields, "starts_at", "lead_id")}
    groups = {group.pk for group in plan.groups}
    rows: models.QuerySet = type(booking)._base_manager.filter(cohort=booking.cohort_id, **wanted)
    for row in rows.prefetch_related("groups"):
        if {group.pk for group in row.groups.all()} == groups:
            raise ValidationError(sentence)


def store(plan: AnyPlan, in_calendar: Collection[str], now: datetime) -> None:
    """Save it with its people and groups; what calendars show of it raises its number there."""
    booking = plan.booking
    before = _shown(booking, in_calendar)
    if booking.pk is None:
        booking.changed_at = now
    booking.save()
    booking.assistants.set(person for person in plan.assistants if person != plan.lead)
    booking.groups.set(plan.groups)
    if before is not None and before != _shown(booking, in_calendar):
        mark_changed(booking, now)


def take_on(booking: Booking, found: Collection[Conflict], *, by: Person, reason: str, now) -> None:
    """Put conflicts that are taken on on record."""
    relation = booking.plan_exceptions
    relation.bulk_create(
        relation.model(
            **{relation.field.name: booking},
            key=conflict.key,
            sentence=conflict.sentence,
            reason=reason.strip(),
            by=by,
            at=now,
        )
        for conflict in found
    )


def require_own(plan: AnyPlan) -> None:
    """Site, staff and groups are the school's and the cohort's own."""
    booking, cohort = plan.booking, plan.booking.cohort
    school = cohort.course.school_id
    policies.require(booking.site is None or booking.site.school_id == school)
    policies.require(all(person.school_id == school for person in plan.staff))
    policies.require(all(group.cohort_id == cohort.pk for group in plan.groups))


def _shown(booking: Booking, in_calendar: Collection[str]) -> tuple | None:
    """What calendars show of it as it is stored; None where it is not."""
    rows: models.QuerySet = type(booking)._base_manager.filter(pk=booking.pk)
    row = rows.values_list(*in_calendar).first()
    if row is None:
        return None
    assistants = frozenset(booking.assistants.order_by().values_list("pk", flat=True))
    groups = frozenset(booking.groups.order_by().values_list("pk", flat=True))
    return (*row, assistants, groups)


def mark_changed(booking: Booking, now: datetime) -> None:
    booking.sequence += 1
    booking.changed_at = now
    booking.save(update_fields=["sequence", "changed_at", "cancelled_at", "cancel_reason"])


def cancel(
    by: Person, booking: Booking, *, reason: str, now: datetime, twice: str, over: str
) -> None:
    """It stays in the lists and in calendars, as cancelled. `twice` and `over` are the sentences
    where it is cancelled already, or over."""
    policies.require(policies.may_arrange_cohort(by, booking.cohort))
    if booking.is_cancelled:
        raise ValidationError(twice)
    if booking.is_over(now):
        raise ValidationError(over)
    booking.cancelled_at, booking.cancel_reason = now, reason.strip()
    mark_changed(booking, now)


def take_up(by: Person, booking: Booking, *, now: datetime, otherwise: str) -> None:
    """Undo a cancellation; `otherwise` is the sentence where there is none."""
    policies.require(policies.may_arrange_cohort(by, booking.cohort))
    if not booking.is_cancelled:
        raise ValidationError(otherwise)
    booking.cancelled_at, booking.cancel_reason = None, ""
    mark_changed(booking, now)
