"""What speaks against a drill where and when it is planned, in sentences."""

from coursework.conflicts import people, sky, travel
from coursework.conflicts.found import Conflict
from coursework.conflicts.plan import Plan, Surroundings
from coursework.models import Drill

__all__ = ["Conflict", "Plan", "conflicts_of", "conflicts_of_plan"]


def conflicts_of(drill: Drill) -> list[Conflict]:
    """Those of a saved drill, overridden ones among them; none of a cancelled one."""
    return [] if drill.is_cancelled else conflicts_of_plan(Plan.of(drill))


def conflicts_of_plan(plan: Plan, around: Surroundings | None = None) -> list[Conflict]:
    """Those of a plan, saved or not, in the order in which they are read.

    around: what else is so at the school, where it is known already.
    """
    around = Surroundings.of(plan) if around is None else around
    return [
        *people.booked(plan, around),
        *travel.ways(plan, around),
        *people.ratio(plan, around),
        *people.approvals(plan, around),
        *people.untaught(plan, around),
        *sky.light(plan),
        *sky.early_dark(plan),
        *sky.method_error(plan),
        *sky.check(plan),
        *people.heat(plan, around),
    ]
