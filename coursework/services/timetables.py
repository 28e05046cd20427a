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
from coursework.conflicts import AnyPlan, LessonPlan, Plan, conflicts_of_plan, plan_of
from coursework.models import (
    Cohort,
    Drill,
    Exercise,
    Group,
    Lesson,
    Person,
    PlannedLesson,
    Site,
)
from coursework.models.bookings import Booking
from coursework.services.bookings import open_conflicts, take_on
from coursework.services.drills import cancel_drill, save_drill
from coursework.services.planned_lessons import save_planned_lesson
from coursework.services.removal import is_held
from coursework.templatetags.coursework import local_time

_KNOWN = frozenset({"lesson", "check"})
"""Conflicts that need a reason alone, even where they were not shown at their session."""


@dataclass(frozen=True, kw_only=True)
class Session:
    """One drill of a proposal, or one lesson. The first of `staff` leads; `group` None: the whole
    cohort. A lesson may be at a `place` in words, by the clock of `place_zone`, and no site."""

    exercise: Exercise | None = None
    lesson: Lesson | None = None
    site: Site | None
    place: str = ""
    place_zone: str = "UTC"
    group: Group | None
    starts_at: datetime
    minutes: int
    staff: tuple[Person, ...]
    wet_plan: str = ""
    pinned: bool = False

    @property
    def title(self) -> str:
        return self.lesson.title if self.lesson else self.exercise.title

    @property
    def zone(self) -> str:
        return self.site.zone if self.site else self.place_zone

    @property
    def place_name(self) -> str:
        return self.site.name if self.site else self.place


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
) -> list[Booking]:
    """Plan the sessions, lessons first. Drills of `replaced` for the same exercise and group are
    moved, the others cancelled; one that is pinned, over or held on record by now is left alone.

    `reason` is kept for lessons not yet held, checks too coarse, and whatever else of `seen`
    (the sentences that `rehearse_timetable` gave) speaks against a session. ValidationError,
    and nothing changed, where anything besides speaks against one by now.
    """
    policies.require(policies.may_arrange_cohort(by, cohort))
    now = now or timezone.now()
    pairs = _make_room(by, cohort, sessions, replaced, now)
    # What comes before is there when what rests on it is looked at.
    pairs.sort(key=lambda pair: (pair[0].lesson is None, pair[0].starts_at))
    taken = _Taken(reason=reason.strip(), sentences=frozenset(seen))
    made = [_plan(by, cohort, session, match, taken, now) for session, match in pairs]
    if seen:
        # The first of two that are in each other's way was saved before the second was there.
        for booking in made:
            _take_on(by, booking, taken, now)
    return made


@transaction.atomic
def rehearse_timetable(
    by: Person,
    cohort: Cohort,
    sessions: Sequence[Session],
    *,
    replaced: Iterable[Drill] = (),
    lessons_held: bool = True,
    now: datetime | None = None,
) -> list[tuple[str, ...]]:
    """What would speak against each session if all were planned; nothing stays changed.

    What no timetable can avoid is left out: checks too coarse and, where lessons are taken to be
    held by then (`lessons_held`), those that come before.
    """
    policies.require(policies.may_arrange_cohort(by, cohort))
    now = now or timezone.now()
    plans = []
    # Copies: the drills of the caller stay what they are.
    rows = [copy(drill) for drill in replaced]
    for session, match in _make_room(by, cohort, sessions, rows, now):
        plan = _plan_of(cohort, session, match)
        plan.booking.cancelled_at = None
        plan.booking.save()
        plan.booking.assistants.set(plan.assistants)
        plan.booking.groups.set(plan.groups)
        plans.append(plan)
    left_out = {"lesson", "check"} if lessons_held else {"check"}
    found = [
        tuple(one.sentence for one in conflicts_of_plan(plan) if one.kind not in left_out)
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
        match = (
            None
            if session.lesson
            else next((drill for drill in movable if _is_of(drill, session)), None)
        )
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
    exercise = session.exercise and session.exercise.pk
    return drill.exercise_id == exercise and groups == wanted


def _plan_of(cohort, session: Session, match: Drill | None) -> AnyPlan:
    people = {
        "lead": session.staff[0],
        "assistants": session.staff[1:],
        "groups": (session.group,) if session.group else (),
    }
    if session.lesson is not None:
        planned = PlannedLesson(
            cohort=cohort,
            lesson=session.lesson,
            site=session.site,
            place=session.place,
            place_zone=session.place_zone,
            starts_at=session.starts_at,
            minutes=session.minutes,
            lead=session.staff[0],
        )
        return LessonPlan(planned=planned, **people)
    drill = match or Drill(cohort=cohort)
    drill.exercise, drill.site, drill.cohort = session.exercise, session.site, cohort
    drill.starts_at, drill.minutes = session.starts_at, session.minutes
    drill.lead, drill.wet_plan = session.staff[0], session.wet_plan
    drill.pinned = session.pinned
    return Plan(drill=drill, **people)


def _plan(by, cohort, session: Session, match: Drill | None, taken: _Taken, now) -> Booking:
    if match is not None:
        Drill.objects.filter(pk=match.pk).update(cancelled_at=None)
    plan = _plan_of(cohort, session, match)
    found = conflicts_of_plan(plan)
    if against := [conflict.sentence for conflict in found if not taken.holds(conflict)]:
        raise ValidationError(
            _(
                "Something has changed since, or was changed by hand: %(drill)s, %(time)s. "
                "%(why)s Ask again."
            )
            % {
                "drill": session.title,
                "time": local_time(plan.booking.starts_at, plan.booking.zone),
                "why": " ".join(against),
            }
        )
    if found and not taken.reason:
        raise ValidationError(
            _("Say why it is held all the same: %(why)s") % {"why": found[0].sentence}
        )
    save = save_drill if session.lesson is None else save_planned_lesson
    return save(by, plan, reason=taken.reason, seen=[one.key for one in found], now=now)


def _take_on(by: Person, booking: Booking, taken: _Taken, now: datetime) -> None:
    found = [one for one in open_conflicts(plan_of(booking)) if taken.holds(one)]
    if found and not taken.reason:
        raise ValidationError(_("Say why it is held all the same: %s") % found[0].sentence)
    take_on(booking, found, by=by, reason=taken.reason, now=now)
