"""Taking a proposed timetable into the plan of a cohort: everything or nothing."""

from collections.abc import Collection, Iterable, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.conflicts import Plan, conflicts_of_plan
from coursework.models import Cohort, Drill, Exercise, Group, Person, PlanException, Site
from coursework.services.bookings import open_conflicts
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
    seen: Collection[str] = (),
    now: datetime | None = None,
) -> list[Drill]:
    """Plan the sessions. Drills of `replaced` for the same exercise and group are moved, the
    others cancelled; one that is pinned, over or held on record by now is left alone.

    `reason` is kept for lessons not yet held, checks too coarse, and whatever else of `seen`
    (the sentences that `rehearse_timetable` gave) speaks against a session. ValidationError,
    and nothing changed, where anything besides speaks against one by now.
    """
    policies.require(policies.may_arrange_cohort(by, cohort))
    now = now or timezone.now()
    pairs = _make_room(by, cohort, sessions, replaced, now)
    taken = _Taken(reason=reason.strip(), sentences=frozenset(seen))
    made = [_plan(by, cohort, session, match, taken, now) for session, match in pairs]
    if seen:
        # The first of two that are in each other's way was saved before the second was there.
        for drill in made:
            _take_on(by, drill, taken, now)
    return made


@transaction.atomic
def rehearse_timetable(
    by: Person,
    cohort: Cohort,
    sessions: Sequence[Session],
    *,
    replaced: Iterable[Drill] = (),
    now: datetime | None = None,
) -> list[tuple[str, ...]]:
    """What would speak against each session if all were planned; nothing stays changed.

    What no timetable can avoid is left out.
    """
    policies.require(policies.may_arrange_cohort(by, cohort))
    now = now or timezone.now()
    plans = []
    # Copies: the drills of the caller stay what they are.
    rows = [copy(drill) for drill in replaced]
    for session, match in _make_room(by, cohort, sessions, rows, now):
        plan = _plan_of(cohort, session, match)
        plan.drill.cancelled_at = None
        plan.drill.save()
        plan.drill.assistants.set(plan.assistants)
        plan.drill.groups.set(plan.groups)
        plans.append(plan)
    found = [
        tuple(one.sentence for one in conflicts_of_plan(plan) if one.kind not in _KNOWN)
        for plan in plans
    ]
    transaction.set_rollback(True)
    return found


@dataclass(frozen=True, kw_only=True)
class _Taken:
    """What is taken on, and why."""

    reason: str
    sentences: frozenset[str]

    def holds(self, conflict) -> bool:
        return conflict.kind in _KNOWN or conflict.sentence in self.sentences


def _make_room(by, cohort, sessions, replaced, now) -> list[tuple[Session, Drill | None]]:
    """Each session with the drill that moves to it; those that are replaced make room."""
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
    return pairs


def _is_of(drill: Drill, session: Session) -> bool:
    groups = {group.pk for group in drill.groups.all()}
    wanted = {session.group.pk} if session.group else set()
    return drill.exercise_id == session.exercise.pk and groups == wanted


def _plan_of(cohort, session: Session, match: Drill | None) -> Plan:
    drill = match or Drill(cohort=cohort)
    drill.exercise, drill.site, drill.cohort = session.exercise, session.site, cohort
    drill.starts_at, drill.minutes = session.starts_at, session.minutes
    drill.lead, drill.wet_plan = session.staff[0], session.wet_plan
    drill.pinned = session.pinned
    return Plan(
        drill=drill,
        lead=session.staff[0],
        assistants=session.staff[1:],
        groups=(session.group,) if session.group else (),
    )


def _plan(by, cohort, session: Session, match: Drill | None, taken: _Taken, now) -> Drill:
    if match is not None:
        Drill.objects.filter(pk=match.pk).update(cancelled_at=None)
    plan = _plan_of(cohort, session, match)
    drill, found = plan.drill, conflicts_of_plan(plan)
    if against := [conflict.sentence for conflict in found if not taken.holds(conflict)]:
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
    if found and not taken.reason:
        raise ValidationError(
            _("Say why it is held all the same: %(why)s") % {"why": found[0].sentence}
        )
    return save_drill(by, plan, reason=taken.reason, seen=[one.key for one in found], now=now)


def _take_on(by: Person, drill: Drill, taken: _Taken, now: datetime) -> None:
    found = [one for one in open_conflicts(Plan.of(drill)) if taken.holds(one)]
    if found and not taken.reason:
        raise ValidationError(_("Say why it is held all the same: %s") % found[0].sentence)
    PlanException.objects.bulk_create(
        PlanException(
            drill=drill,
            key=conflict.key,
            sentence=conflict.sentence,
            reason=taken.reason,
            by=by,
            at=now,
        )
        for conflict in found
    )
