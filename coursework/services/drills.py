"""Planning, cancelling and taking up drills again, and the groups that are taken out."""

from collections.abc import Collection, Iterable
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.conflicts import Conflict, Plan, conflicts_of_plan
from coursework.models import (
    Decision,
    Drill,
    Group,
    Incident,
    Person,
    PlanException,
    Role,
    School,
)
from coursework.services.removal import is_held

# What a calendar shows of a drill: where one of them changes, so does its sequence number.
_IN_CALENDAR = ("exercise_id", "site_id", "starts_at", "minutes", "lead_id", "wet_plan")


def open_conflicts(plan: Plan) -> list[Conflict]:
    """The conflicts of a plan that nobody has taken on with a reason."""
    taken = set()
    if plan.drill.pk is not None:
        taken = set(plan.drill.plan_exceptions.values_list("key", flat=True))
    return [conflict for conflict in conflicts_of_plan(plan) if conflict.key not in taken]


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
    _require_own(plan)
    # Two leads who save at once: the second sees the first one's drill as a conflict.
    School.objects.select_for_update().get(pk=drill.cohort.course.school_id)
    found = [] if drill.is_over(now) or drill.is_cancelled else open_conflicts(plan)
    if found and not (reason.strip() and {conflict.key for conflict in found} <= set(seen)):
        raise ValidationError(
            _(
                "Something speaks against this plan: it stands below the form. Change the drill, "
                "or say at the end of the form why it is held all the same."
            )
        )
    _keep_whether_assessed(drill, now)
    before = _shown(drill)
    if drill.pk is None:
        drill.changed_at = now
    drill.save()
    drill.assistants.set(person for person in plan.assistants if person != plan.lead)
    drill.groups.set(plan.groups)
    if before is not None and before != _shown(drill):
        _changed(drill, now)
    PlanException.objects.bulk_create(
        PlanException(
            drill=drill,
            key=conflict.key,
            sentence=conflict.sentence,
            reason=reason.strip(),
            by=by,
            at=now,
        )
        for conflict in found
    )
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


def _require_own(plan: Plan) -> None:
    """Site, staff and groups are the school's and the cohort's own."""
    cohort, school = plan.drill.cohort, plan.drill.cohort.course.school_id
    policies.require(plan.drill.site.school_id == school)
    policies.require(all(person.school_id == school for person in plan.staff))
    policies.require(all(group.cohort_id == cohort.pk for group in plan.groups))


def _shown(drill: Drill) -> tuple | None:
    """What calendars show of a drill as it is stored; None where it is not."""
    row = Drill.whole.filter(pk=drill.pk).values_list(*_IN_CALENDAR).first()
    if row is None:
        return None
    assistants = frozenset(drill.assistants.order_by().values_list("pk", flat=True))
    groups = frozenset(drill.groups.order_by().values_list("pk", flat=True))
    return (*row, assistants, groups)


def _changed(drill: Drill, now: datetime) -> None:
    drill.sequence += 1
    drill.changed_at = now
    drill.save(update_fields=["sequence", "changed_at", "cancelled_at", "cancel_reason"])


@transaction.atomic
def cancel_drill(by: Person, drill: Drill, *, reason: str, now: datetime | None = None) -> None:
    """It stays in the lists and in calendars, as cancelled."""
    policies.require(policies.may_arrange_cohort(by, drill.cohort))
    now = now or timezone.now()
    if drill.is_cancelled:
        raise ValidationError(_("This drill is cancelled already."))
    if drill.is_over(now):
        raise ValidationError(_("This drill is over, so it cannot be cancelled."))
    drill.cancelled_at, drill.cancel_reason = now, reason.strip()
    _changed(drill, now)


@transaction.atomic
def take_up_drill(by: Person, drill: Drill, *, now: datetime | None = None) -> None:
    """Undo a cancellation. What speaks against the drill by now is shown on its page."""
    policies.require(policies.may_arrange_cohort(by, drill.cohort))
    if not drill.is_cancelled:
        raise ValidationError(_("This drill is not cancelled."))
    drill.cancelled_at, drill.cancel_reason = None, ""
    _changed(drill, now or timezone.now())


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
