"""Planning lessons of a cohort, cancelling them and taking them up again."""

from collections.abc import Collection
from datetime import datetime

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.conflicts import LessonPlan
from coursework.models import Person, PlannedLesson
from coursework.services import bookings

# What a calendar shows of one: where it changes, so does its sequence number.
_IN_CALENDAR = (
    "lesson_id",
    "site_id",
    "place",
    "place_zone",
    "starts_at",
    "minutes",
    "lead_id",
    "note",
)


@transaction.atomic
def save_planned_lesson(
    by: Person,
    plan: LessonPlan,
    *,
    reason: str = "",
    seen: Collection[str] = (),
    now: datetime | None = None,
) -> PlannedLesson:
    """Save a planned lesson with its people and groups.

    Conflicts of one to come are taken on as those of a drill are: see `save_drill`.
    """
    now = now or timezone.now()
    planned = plan.planned
    policies.require(policies.may_arrange_cohort(by, planned.cohort))
    bookings.require_own(plan)
    # One planned before the cohort moved on stays with the lesson as it was.
    policies.require(planned.lesson.course.lineage == planned.cohort.course.lineage)
    found = bookings.conflicts_to_take_on(plan, reason=reason, seen=seen, now=now)
    bookings.refuse_a_second_one(
        plan,
        "lesson_id",
        "site_id",
        "place",
        sentence=_("This lesson is planned already, at the same hour and place."),
    )
    bookings.store(plan, _IN_CALENDAR, now)
    bookings.take_on(planned, found, by=by, reason=reason, now=now)
    return planned


@transaction.atomic
def cancel_planned_lesson(
    by: Person, planned: PlannedLesson, *, reason: str, now: datetime | None = None
) -> None:
    """It stays in the lists and in calendars, as cancelled."""
    bookings.cancel(
        by,
        planned,
        reason=reason,
        now=now or timezone.now(),
        twice=_("This lesson is cancelled already."),
        over=_("This lesson is over, so it cannot be cancelled."),
    )


@transaction.atomic
def take_up_planned_lesson(
    by: Person, planned: PlannedLesson, *, now: datetime | None = None
) -> None:
    """Undo a cancellation. What speaks against the lesson by now is shown on its page."""
    bookings.take_up(
        by,
        planned,
        now=now or timezone.now(),
        otherwise=_("This lesson is not cancelled."),
    )
