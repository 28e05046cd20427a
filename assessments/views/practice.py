"""Practice that a student logs alone."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments import policies
from assessments.forms.practice import PracticeForm
from assessments.practice import practice_drill, practise
from assessments.views.log import log_page
from coursework.policies import require

ASKED = ("exercise", "site", "day")


def practice_add(request: HttpRequest) -> HttpResponse:
    """What was practised and where, then the form of its result."""
    person = request.user
    require(policies.practised_cohorts(person).exists())
    asked = request.GET if set(ASKED) <= request.GET.keys() else None
    form = PracticeForm(asked, person=person, initial={"day": timezone.localdate()})
    if not form.is_valid():
        return render(request, "assessments/practice_add.html", {"form": form})
    cohort, exercise, site = form.chosen
    drill = practice_drill(
        person, cohort=cohort, exercise=exercise, site=site, starts_at=form.starts_at
    )

    def record(entered):
        return practise(
            person,
            drill=drill,
            observation=entered.observation,
            key=entered.cleaned_data["key"],
        )

    return log_page(
        request,
        drill,
        person,
        record=record,
        told=_("Your practice is logged. It is scored like any other and never counts."),
        template="assessments/practice_log.html",
    )
