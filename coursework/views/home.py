"""What there is to do now."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from coursework import policies
from coursework.conflicts import Conflict
from coursework.conflicts.week import open_conflicts_of
from coursework.drill_policies import own_drills
from coursework.models import Drill
from coursework.setup_steps import setup_steps

DAYS_AHEAD = timedelta(days=7)


def home(request: HttpRequest) -> HttpResponse:
    person, now = request.user, timezone.now()
    duties = policies.duties_of(person)
    context = {"now": now, "held": duties}
    if duties.instructs:
        context |= _instructing(person, duties, now)
    if duties.studies:
        own = own_drills(person).filter(cohort__in=duties.studies)
        own = own.going_ahead().with_places()
        context["next_drill"] = own.not_over(now).first()
    if duties.arranges_all:
        context["setup"] = setup_steps(person)
    return render(request, "coursework/home.html", context)


def _instructing(person, duties, now) -> dict:
    cohorts = policies.visible_cohorts(person)
    if not duties.arranges_all:
        cohorts = cohorts.filter(pk__in=duties.leads | duties.assists)
    drills = Drill.objects.filter(cohort__in=cohorts.order_by().values("pk")).with_places()
    today = drills.today(now)
    shown = {drill.pk for drill in today}
    week = [drill for drill in drills.between(now, now + DAYS_AHEAD) if drill.pk not in shown]
    return {
        "drills_today": today,
        "today": timezone.localdate(now),
        "week": week,
        "conflicts": _conflicts(person, duties, [*today, *week], now),
        "cohorts": cohorts.with_numbers().not_over(timezone.localdate(now)),
    }


def _conflicts(person, duties, drills, now) -> list[tuple[Drill, list[Conflict]]]:
    """Of the drills to come that someone arranges, with what nobody has taken on."""
    mine = [
        drill
        for drill in drills
        if not drill.is_over(now) and (duties.arranges_all or drill.cohort_id in duties.leads)
    ]
    found = open_conflicts_of(person.school, mine)
    return [(drill, found[drill.pk]) for drill in mine if drill.pk in found]
