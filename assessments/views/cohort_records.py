"""What a cohort still misses, and how its results are spread."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from assessments import policies
from assessments.forms.records import ToleranceForm
from assessments.records.cohort import CohortRecord
from coursework.policies import get_visible, require, visible_cohorts


def cohort_record(request: HttpRequest, pk: int) -> HttpResponse:
    """For those who assess; how instructors differ only for those who arrange the cohort."""
    cohort = get_visible(visible_cohorts(request.user).select_related("course__school"), pk=pk)
    require(policies.assessed_cohorts(request.user).filter(pk=cohort.pk).exists())
    made = CohortRecord(cohort)
    compares = policies.may_compare_instructors(request.user, cohort)
    asked = request.GET if "tolerance" in request.GET else None
    form = ToleranceForm(asked, exercises=made.measured)
    context = {
        "cohort": cohort,
        "record": made,
        "skills": made.skills(timezone.localdate()),
        "compares": compares,
        "comparison": made.comparison if compares else None,
        "form": form,
        "rates": None,
    }
    if form.is_valid():
        exercise = form.chosen
        context["exercise"] = exercise
        context["rates"] = [
            made.pass_rate(exercise, tolerance)
            for tolerance in (exercise.tolerance, form.cleaned_data["tolerance"])
        ]
    return render(request, "assessments/record_cohort.html", context)
