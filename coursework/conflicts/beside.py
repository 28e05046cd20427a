"""The conflicts that stand beside the form of a drill or a lesson, as they are shown."""

from dataclasses import dataclass

from coursework.conflicts import AnyPlan, Conflict, conflicts_of_plan
from coursework.conflicts.people import awaited_words
from coursework.conflicts.plan import Surroundings
from coursework.models.exceptions import TakenOn


@dataclass(frozen=True)
class Beside:
    """`open` are those that nobody has taken on; the others come with who did and why.

    `awaited`: the lessons that are planned before it, in a sentence.
    """

    is_known: bool
    open: tuple[Conflict, ...] = ()
    taken: tuple[TakenOn, ...] = ()
    awaited: str = ""


def conflicts_beside(form) -> Beside:
    """Of what a form holds so far; not known while the plan is incomplete."""
    plan: AnyPlan | None = form.plan
    return Beside(is_known=False) if plan is None else beside(plan)


def beside(plan: AnyPlan) -> Beside:
    around = Surroundings.of(plan)
    found = conflicts_of_plan(plan, around)
    taken = {}
    if plan.booking.pk is not None:
        rows = plan.booking.plan_exceptions.select_related("by")
        taken = {row.key: row for row in rows}
    return Beside(
        is_known=True,
        open=tuple(conflict for conflict in found if conflict.key not in taken),
        taken=tuple(taken[conflict.key] for conflict in found if conflict.key in taken),
        awaited=awaited_words(around),
    )
