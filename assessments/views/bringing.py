"""Results brought in from a file: chosen, looked at row by row, confirmed."""

from collections.abc import Sequence

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache

from assessments import policies
from assessments.bringing import import_attempts, plan_attempts, read_attempts
from assessments.forms.bringing import AttemptFileConfirmForm, AttemptFileForm
from coursework.csv_files import FileError
from coursework.models import Cohort, Drill
from coursework.policies import (
    get_visible,
    may_assess,
    require,
    visible_cohorts,
    visible_drills,
)


@never_cache
def drill_import(request: HttpRequest, pk: int) -> HttpResponse:
    drills = visible_drills(request.user).select_related(
        "site", "exercise", "cohort__course__school"
    )
    drill = get_visible(drills, pk=pk)
    require(policies.may_log(request.user, drill))
    back = reverse("drill-detail", args=[pk])
    return _import(request, drill.cohort, [drill], into=str(drill), back=back)


@never_cache
def cohort_import(request: HttpRequest, pk: int) -> HttpResponse:
    cohort = get_visible(visible_cohorts(request.user).select_related("course__school"), pk=pk)
    drills = cohort.drills.going_ahead().select_related(
        "site", "exercise", "cohort__course__school"
    )
    back = reverse("cohort-detail", args=[pk])
    return _import(request, cohort, list(drills), into=cohort.name, back=back)


def _import(
    request: HttpRequest, cohort: Cohort, drills: Sequence[Drill], *, into: str, back: str
) -> HttpResponse:
    require(may_assess(request.user, cohort))
    context = {"into": into, "back": back, "has_drills": bool(drills)}
    if request.method == "POST" and "content" in request.POST:
        return _confirmed(request, cohort, drills, back)
    form = AttemptFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        content = form.cleaned_data["attempts"].read()
        try:
            file = read_attempts(content)
        except FileError as error:
            form.add_error("attempts", str(error))
        else:
            plan = plan_attempts(request.user, cohort, file, drills=drills)
            confirm = AttemptFileConfirmForm(initial={"content": content.decode("utf-8-sig")})
            context |= {"plan": plan, "unused": file.unused, "form": confirm}
            return render(request, "assessments/import_preview.html", context)
    return render(request, "assessments/import_form.html", context | {"form": form})


def _confirmed(request, cohort: Cohort, drills: Sequence[Drill], back: str) -> HttpResponse:
    form = AttemptFileConfirmForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("The file did not arrive whole. Choose it again."))
        return redirect(request.path)
    try:
        file = read_attempts(form.cleaned_data["content"].encode())
        number = import_attempts(request.user, cohort, file, drills=drills)
    except FileError as error:
        messages.error(request, str(error))
        return redirect(request.path)
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
        return redirect(request.path)
    told = ngettext("%(n)s result is stored.", "%(n)s results are stored.", number)
    messages.success(request, told % {"n": number})
    return redirect(back)
