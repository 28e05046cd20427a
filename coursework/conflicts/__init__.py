"""What speaks against a drill or a lesson where and when it is planned, in sentences."""

from coursework.conflicts import people, sky, travel
from coursework.conflicts.found import Conflict
from coursework.conflicts.plan import AnyPlan, LessonPlan, Plan, Surroundings, plan_of
from coursework.models.bookings import Booking

__all__ = [
    "AnyPlan",
    "Conflict",
    "LessonPlan",
    "Plan",
    "conflicts_of",
    "conflicts_of_plan",
    "plan_of",
]


def conflicts_of(booking: Booking) -> list[Conflict]:
    """Those of a saved drill or lesson, overridden ones among them; none of a cancelled one."""
    return [] if booking.is_cancelled else conflicts_of_plan(plan_of(booking))


def conflicts_of_plan(plan: AnyPlan, around: Surroundings | None = None) -> list[Conflict]:
    """Those of a plan, saved or not, in the order in which they are read.

    around: what else is so at the school, where it is known already.
    """
    around = Surroundings.of(plan) if around is None else around
    found = [
        *people.dates(plan),
        *people.booked(plan, around),
        *travel.ways(plan, around),
        *people.ratio(plan, around),
    ]
    if isinstance(plan, LessonPlan):
        # Neither the sun nor the dark speaks against a lesson.
        return [*found, *people.first_aid(plan, around), *people.untaught(plan, around)]
    return [
        *found,
        *people.approvals(plan, around),
        *people.untaught(plan, around),
        *sky.light(plan),
        *sky.early_dark(plan),
        *sky.method_error(plan),
        *sky.check(plan),
        *people.heat(plan, around),
    ]
