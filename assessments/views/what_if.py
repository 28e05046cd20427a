"""What would have happened, and a corner to practise the eye."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode

from assessments import policies
from assessments.forms.records import BearingAnswerForm, ErrorAnswerForm, OtherDateForm
from assessments.pages import page_of
from assessments.records import corner
from assessments.records import otherwise as other_lines
from coursework.policies import require_open


def otherwise(request: HttpRequest, key) -> HttpResponse:
    """One stored line at other hours, on another date, by other methods."""
    attempts = policies.readable_attempts(request.user).select_related(
        "current", "student", "exercise", "drill__site"
    )
    attempt = policies.get_attempt(request.user, attempts, key=key)
    revision = attempt.current
    if revision.is_travel or not revision.has_result:
        raise Http404
    # It answers what a drill going on there asks.
    require_open(request.user, attempt.drill.site)
    form = OtherDateForm(request.GET if "day" in request.GET else None)
    other = form.cleaned_data["day"] if form.is_valid() else None
    context = {
        "attempt": attempt,
        "revision": revision,
        "split": page_of(revision).split,
        "form": form,
        "on_date": other and [_told(revision, other_lines.on_date(revision, other))],
        "hours": [_told(revision, one) for one in other_lines.at_other_hours(revision)],
        "methods": [_told(revision, one) for one in other_lines.by_other_methods(revision)],
    }
    return render(request, "assessments/otherwise.html", context)


def _told(revision, other):
    return other, other_lines.sentence(revision, other)


def practice_corner(request: HttpRequest) -> HttpResponse:
    """A question that its token makes; the address keeps question and answer, nothing else does."""
    sites = list(policies.practice_sites(request.user).order_by("pk"))
    token = request.GET.get("q", "")
    if not (token.isalnum() and token.isascii() and len(token) <= 2 * corner.LENGTH):
        return redirect(f"{reverse('corner')}?{urlencode({'q': corner.new_token()})}")
    asked = corner.question(token, sites, year=timezone.now().year)
    context = {"asked": asked, "next_token": corner.new_token()}
    if asked is not None:
        form_class = BearingAnswerForm if asked.kind == corner.SHADOW else ErrorAnswerForm
        form = form_class(request.GET if "answer" in request.GET else None)
        context["form"] = form
        if form.is_valid() and form.answer_deg is not None:
            context["marked"] = corner.mark(asked, form.answer_deg)
            context["explanation"] = corner.explanation(asked)
    return render(request, "assessments/corner.html", context)
