"""Planning, cancelling and taking up drills again, and the groups that are taken out."""

from collections.abc import Collection, Iterable
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.conflicts import Plan
from coursework.models import Decision, Drill, Group, Incident, Person, Role
from coursework.services import bookings
from coursework.services.removal import is_held

# What a calendar shows of a drill: where one of them changes, so does its sequence number.
_IN_CALENDAR = ("exercise_id", "site_id", "starts_at", "minutes", "lead_id", "wet_plan")


@transaction.atomic
def save_drill(
    by: Person,
    plan: Plan,
    *,
    reason: str = "",
    seen: Collection[str] = (),
    now: datetime | None = None,
) -> Drill:
    """Save a planned drill with its people and groups.

    A drill to come is saved with conflicts only where `reason` says why and `seen` holds the
    keys of all of them: nobody takes on what they were not shown. ValidationError otherwise.
    Each conflict taken on stays on record.
    """
    now = now or timezone.now()
    drill = plan.drill
    policies.require(policies.may_arrange_cohort(by, drill.cohort))
    bookings.require_own(plan)
    found = bookings.conflicts_to_take_on(plan, reason=reason, seen=seen, now=now)
    bookings.refuse_a_second_one(
        plan,
        "exercise_id",
        "site_id",
        sentence=_("This drill is planned already, at the same hour and site."),
    )
    _keep_whether_assessed(drill, now)
    bookings.store(plan, _IN_CALENDAR, now)
    bookings.take_on(drill, found, by=by, reason=reason, now=now)
    return drill


def _keep_whether_assessed(drill: Drill, now: datetime) -> None:
    """Assessed or practice is settled before anything is read off, and stays."""
    stored = Drill.whole.filter(pk=drill.pk).first()
    if stored is None or stored.assessed == drill.assessed:
        return
    if stored.starts_at <= now:
        sentence = _("The drill has begun: whether its results count stays as it was.")
    elif is_held(stored, besides=(Decision, Incident)):
        sentence = _("Results have been logged: whether they count stays as it was.")
    else:
        return
    raise ValidationError({"assessed": sentence})


@transaction.atomic
def cancel_drill(by: Person, drill: Drill, *, reason: str, now: datetime | None = None) -> None:
    """It stays in the lists and in calendars, as cancelled."""
    bookings.cancel(
        by,
        drill,
        reason=reason,
        now=now or timezone.now(),
        twice=_("This drill is cancelled already."),
        over=_("This drill is over, so it cannot be cancelled."),
    )


@transaction.atomic
def take_up_drill(by: Person, drill: Drill, *, now: datetime | None = None) -> None:
    """Undo a cancellation. What speaks against the drill by now is shown on its page."""
    bookings.take_up(
        by, drill, now=now or timezone.now(), otherwise=_("This drill is not cancelled.")
    )


@transaction.atomic
def save_group(by: Person, group: Group, students: Iterable[Person]) -> Group:
    """Save a group of a cohort with its students, who are enrolled in the cohort."""
    policies.require(policies.may_arrange_cohort(by, group.cohort))
    students = list(students)
    enrolled = set(
        group.cohort.enrolments.filter(role=Role.STUDENT).values_list("person", flat=True)
    )
    policies.require({person.pk for person in students} <= enrolled)
    group.save()
    group.students.set(students)
    return group
