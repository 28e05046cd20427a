"""The lessons of the week of building and of the days after it, put into the calendar."""

from collections.abc import Sequence
from datetime import datetime, time, timedelta
from typing import Any

from django.utils import timezone

from coursework.conflicts import LessonPlan, conflicts_of_plan
from coursework.models import Cohort, Group, Person, PlannedLesson, Role, Site
from coursework.services import cancel_planned_lesson, save_planned_lesson

_ROOM = "Upper room at the road head"


def plan_week(cohort: Cohort, site: Site, *, now: datetime | None = None) -> None:
    """One held, one for each group in turn, one that is off, and one held all the same."""
    now = now or timezone.now()
    week = _Week(cohort, site, now)
    week.plan("Declaring a correction", -1, time(17, 0), place=_ROOM)
    ravens, choughs = cohort.groups.order_by("-name")
    week.plan("Checking a line fairly", 1, time(9, 0), place=_ROOM, groups=[ravens])
    week.plan(
        "Checking a line fairly", 1, time(11, 0), place=_ROOM, groups=[choughs], lead=week.assistant
    )
    week.plan(
        "Declaring a correction",
        3,
        time(14, 0),
        site=site,
        place="by the beck",
        lead=week.assistant,
        assistants=[week.lead],
        note="Bring the sticks from the shed; wellingtons, the grass is wet.",
        reason="Jadwiga is there too and has her first aid.",
    )
    off = week.plan("Where each method errs", 4, time(16, 30), place=_ROOM)
    cancel_planned_lesson(
        week.lead, off, reason="The room is needed for the village council.", now=now
    )
    week.plan(
        "Where each method errs",
        5,
        time(9, 30),
        place=_ROOM,
        note="Instead of the one that is off.",
    )


class _Week:
    def __init__(self, cohort: Cohort, site: Site, now: datetime) -> None:
        self.cohort, self.site, self.now = cohort, site, now
        self.lessons = {lesson.title: lesson for lesson in cohort.course.lessons.all()}
        self.lead, self.assistant = (
            cohort.enrolments.filter(role=role).first().person
            for role in (Role.LEAD, Role.ASSISTANT)
        )

    def plan(
        self,
        title: str,
        days: int,
        clock: time,
        *,
        groups: Sequence[Group] = (),
        lead: Person | None = None,
        assistants: Sequence[Person] = (),
        reason: str = "",
        **fields: Any,
    ) -> PlannedLesson:
        """`days` from today, by the clock of the cohort's site."""
        zone = self.site.zone_info
        day = self.now.astimezone(zone).date() + timedelta(days=days)
        lesson = self.lessons[title]
        planned = PlannedLesson(
            cohort=self.cohort,
            lesson=lesson,
            minutes=lesson.minutes,
            starts_at=datetime.combine(day, clock, tzinfo=zone),
            place_zone=self.site.zone,
            lead=lead or self.lead,
            **fields,
        )
        planned.full_clean()
        plan = LessonPlan(
            planned=planned,
            lead=planned.lead,
            assistants=tuple(assistants),
            groups=tuple(groups),
        )
        return save_planned_lesson(
            self.lead, plan, reason=reason, seen=_seen(plan) if reason else (), now=self.now
        )


def _seen(plan: LessonPlan) -> list[str]:
    """What stands beside the form, where it is held all the same."""
    return [conflict.key for conflict in conflicts_of_plan(plan)]
