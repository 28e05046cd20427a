"""What there is to do now."""

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from coursework import policies
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
    week = drills.between(now, now + DAYS_AHEAD)
    return {
        "drills_today": today,
        "today": now.date(),
        "week": [drill for drill in week if drill.pk not in shown],
        "cohorts": cohorts.with_numbers().not_over(now.date()),
    }
