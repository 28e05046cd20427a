"""The conflicts that stand beside the form of a drill, as they are shown."""

from dataclasses import dataclass

from coursework.conflicts import Conflict, Plan, conflicts_of_plan
from coursework.models import PlanException


@dataclass(frozen=True)
class Beside:
    """`open` are those that nobody has taken on; the others come with who did and why."""

    is_known: bool
    open: tuple[Conflict, ...] = ()
    taken: tuple[PlanException, ...] = ()


def conflicts_beside(form) -> Beside:
    """Of what the form of a drill holds so far; not known while the plan is incomplete."""
    plan: Plan | None = form.plan
    if plan is None:
        return Beside(is_known=False)
    found = conflicts_of_plan(plan)
    taken = {}
    if plan.drill.pk is not None:
        rows = plan.drill.plan_exceptions.select_related("by")
        taken = {row.key: row for row in rows}
    return Beside(
        is_known=True,
        open=tuple(conflict for conflict in found if conflict.key not in taken),
        taken=tuple(taken[conflict.key] for conflict in found if conflict.key in taken),
    )
