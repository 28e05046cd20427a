"""Reading results: one, many, and one worked out again."""

from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render

from assessments import exports, policies, services
from assessments.forms.filters import AttemptFilterForm
from assessments.models import Attempt, Revision
from assessments.models.attempts import NEWEST_FIRST
from assessments.pages import page_of
from coursework.listing import csv_response, wants_csv

A_PAGE = 50


def attempt_list(request: HttpRequest) -> HttpResponseBase:
    attempts = policies.visible_attempts(request.user)
    form = AttemptFilterForm(request.GET, attempts=attempts)
    chosen = form.narrow(attempts)
    narrowed = chosen.with_scores()
    if wants_csv(request):
        rows = narrowed.defer("current__drawing").iterator(chunk_size=500)
        return csv_response("results", exports.RESULTS, rows)
    # The page is cut by numbers alone, and whole records are read for its rows only.
    numbers = chosen.order_by(*NEWEST_FIRST).values_list("pk", flat=True)
    page = Paginator(numbers, A_PAGE).get_page(request.GET.get("page"))
    shown = Attempt.objects.filter(pk__in=list(page.object_list)).with_scores()
    page.object_list = shown.defer("current__drawing")
    asked = request.GET.copy()
    asked.pop("page", None)
    context = {"form": form, "page": page, "query": asked.urlencode(), "may_save": True}
    return render(request, "assessments/attempt_list.html", context)


def attempt_detail(request: HttpRequest, key) -> HttpResponse:
    attempt = _load(request, key)
    context = {
        "attempt": attempt,
        "page": page_of(attempt.current),
        "may_correct": policies.may_correct(request.user, attempt),
    }
    if not attempt.current.has_result:
        return render(request, "assessments/attempt_without.html", context)
    return render(request, "assessments/attempt_detail.html", context)


def attempt_again(request: HttpRequest, key) -> HttpResponse:
    """The stored score beside the one that today's engine gives; nothing is changed."""
    attempt = _load(request, key)
    if not attempt.current.has_result:
        raise Http404
    try:
        differences, refused = services.recompute_difference(attempt.current), None
    except services.Refused as error:
        differences, refused = [], error
    context = {"attempt": attempt, "differences": differences, "refused": refused}
    return render(request, "assessments/attempt_again.html", context)


def _load(request: HttpRequest, key) -> Attempt:
    revisions = Revision.objects.select_related("recorded_by").order_by("-number")
    attempts = (
        policies.readable_attempts(request.user)
        .select_related("student", "exercise", "current", "drill__site", "drill__cohort__course")
        .prefetch_related(Prefetch("revisions", queryset=revisions))
    )
    attempt = policies.get_attempt(request.user, attempts, key=key)
    attempt.current.attempt = attempt
    return attempt
