"""What there is to do now."""

from collections.abc import Iterable
from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from coursework import policies
from coursework.conflicts import Conflict
from coursework.conflicts.week import open_conflicts_of
from coursework.drill_policies import own_drills, own_planned_lessons
from coursework.models import Drill, PlannedLesson
from coursework.models.bookings import Booking
from coursework.setup_steps import setup_steps

DAYS_AHEAD = timedelta(days=7)


def home(request: HttpRequest) -> HttpResponse:
    person, now = request.user, timezone.now()
    duties = policies.duties_of(person)
    context = {"now": now, "held": duties}
    if duties.instructs:
        context |= _instructing(person, duties, now)
    if duties.studies:
        drills, lessons = (
            rows.filter(cohort__in=duties.studies).going_ahead().with_places().not_over(now)
            for rows in (own_drills(person), own_planned_lessons(person))
        )
        context |= {"next_drill": drills.first(), "next_lesson": lessons.first()}
    if duties.arranges_all:
        context["setup"] = setup_steps(person)
    return render(request, "coursework/home.html", context)


def _instructing(person, duties, now) -> dict:
    cohorts = policies.visible_cohorts(person)
    if not duties.arranges_all:
        cohorts = cohorts.filter(pk__in=duties.leads | duties.assists)
    ours = cohorts.order_by().values("pk")
    drills = Drill.objects.filter(cohort__in=ours).with_places()
    lessons = PlannedLesson.objects.filter(cohort__in=ours).for_lines()
    today = _in_order([*drills.today(now), *lessons.today(now)])
    shown = {one.ref for one in today}
    ahead = [one for rows in (drills, lessons) for one in rows.between(now, now + DAYS_AHEAD)]
    week = _in_order(one for one in ahead if one.ref not in shown)
    return {
        "held_today": today,
        "today": timezone.localdate(now),
        "week": week,
        "conflicts": _conflicts(person, duties, [*today, *week], now),
        "cohorts": cohorts.with_numbers().not_over(timezone.localdate(now)),
    }


def _in_order(bookings: Iterable[Booking]) -> list[Booking]:
    return sorted(bookings, key=lambda one: (one.starts_at, one.is_lesson, one.pk))


def _conflicts(person, duties, bookings, now) -> list[tuple[Booking, list[Conflict]]]:
    """Of what is to come and someone arranges, with what nobody has taken on."""
    mine = [
        one
        for one in bookings
        if not one.is_over(now) and (duties.arranges_all or one.cohort_id in duties.leads)
    ]
    found = open_conflicts_of(person.school, mine)
    return [(one, found[one.ref]) for one in mine if one.ref in found]
