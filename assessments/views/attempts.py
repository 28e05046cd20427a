"""Reading results: one, many, and one worked out again."""

from django.db.models import Prefetch
from django.http import Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render

from assessments import exports, policies, rows, services
from assessments.forms.filters import AttemptFilter
from assessments.models import Attempt, Revision
from assessments.models.attempts import NEWEST_FIRST
from assessments.pages import page_of
from coursework.duties import duties_of
from coursework.listing import csv_response, wants_csv
from coursework.long_lists import page_of as list_page_of


def attempt_list(request: HttpRequest) -> HttpResponseBase:
    visible = policies.visible_attempts(request.user, duties=duties_of(request.user))
    narrowed = AttemptFilter(request.GET, visible)
    if wants_csv(request):
        found = narrowed.qs.with_scores().defer("current__drawing").iterator(chunk_size=500)
        return csv_response("results", exports.RESULTS, found)
    # The page is cut by numbers alone, and what lines show is read for its rows only.
    page = list_page_of(request, narrowed.qs.order_by(*NEWEST_FIRST).values_list("pk", flat=True))
    page.object_list = rows.read(Attempt.objects.filter(pk__in=page.object_list))
    context = {"filter": narrowed, "page": page, "may_save": True}
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
    context = {
        "attempt": attempt,
        "differences": [row for row in differences if row.is_known],
        "changed": sum(row.is_changed for row in differences),
        "refused": refused,
    }
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
