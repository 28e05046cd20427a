"""Taking a proposed timetable into the plan of a cohort: everything or nothing."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.conflicts import Plan, conflicts_of_plan
from coursework.models import Cohort, Drill, Exercise, Group, Person, Site
from coursework.services.drills import cancel_drill, save_drill
from coursework.services.removal import is_held

_KNOWN = frozenset({"lesson", "check"})
"""Conflicts that no timetable can avoid: they are said beside the proposal."""


@dataclass(frozen=True, kw_only=True)
class Session:
    """One drill of a proposal. The first of `staff` leads; `group` None: the whole cohort."""

    exercise: Exercise
    site: Site
    group: Group | None
    starts_at: datetime
    minutes: int
    staff: tuple[Person, ...]
    wet_plan: str = ""
    pinned: bool = False


@transaction.atomic
def accept_timetable(
    by: Person,
    cohort: Cohort,
    sessions: Iterable[Session],
    *,
    replaced: Iterable[Drill] = (),
    reason: str = "",
    now: datetime | None = None,
) -> list[Drill]:
    """Plan the sessions. Drills of `replaced` for the same exercise and group are moved, the
    others cancelled; one that is pinned, over or held on record by now is left alone.

    `reason` is kept for lessons not yet held and checks too coarse. ValidationError, and
    nothing changed, where anything else speaks against a session by now.
    """
    policies.require(policies.may_arrange_cohort(by, cohort))
    now = now or timezone.now()
    movable = [
        drill
        for drill in replaced
        if drill.cohort_id == cohort.pk
        and not (drill.pinned or drill.is_cancelled or drill.is_over(now) or is_held(drill))
    ]
    pairs = []
    for session in sessions:
        match = next((drill for drill in movable if _is_of(drill, session)), None)
        if match is not None:
            movable.remove(match)
        pairs.append((session, match))
    for drill in movable:
        cancel_drill(by, drill, reason=_("Replaced by a new timetable."), now=now)
    # Out of each other's way first: two drills may take each other's hours.
    Drill.objects.filter(pk__in=[d.pk for _s, d in pairs if d is not None]).update(cancelled_at=now)
    return [_plan(by, cohort, session, match, reason, now) for session, match in pairs]


def _is_of(drill: Drill, session: Session) -> bool:
    groups = {group.pk for group in drill.groups.all()}
    wanted = {session.group.pk} if session.group else set()
    return drill.exercise_id == session.exercise.pk and groups == wanted


def _plan(by, cohort, session: Session, match: Drill | None, reason: str, now) -> Drill:
    drill = match or Drill(cohort=cohort)
    if match is not None:
        Drill.objects.filter(pk=match.pk).update(cancelled_at=None)
    drill.exercise, drill.site, drill.cohort = session.exercise, session.site, cohort
    drill.starts_at, drill.minutes = session.starts_at, session.minutes
    drill.lead, drill.wet_plan = session.staff[0], session.wet_plan
    drill.pinned = session.pinned
    plan = Plan(
        drill=drill,
        lead=session.staff[0],
        assistants=session.staff[1:],
        groups=(session.group,) if session.group else (),
    )
    found = conflicts_of_plan(plan)
    if against := [conflict.sentence for conflict in found if conflict.kind not in _KNOWN]:
        raise ValidationError(
            _(
                "Something has changed since, or was changed by hand: %(drill)s at %(time)s. "
                "%(why)s Ask again."
            )
            % {
                "drill": drill.exercise.title,
                "time": f"{drill.local_start:%H:%M}",
                "why": " ".join(against),
            }
        )
    if found and not reason.strip():
        raise ValidationError(
            _("Say why it is held all the same: %(why)s") % {"why": found[0].sentence}
        )
    return save_drill(by, plan, reason=reason, seen=[one.key for one in found], now=now)
