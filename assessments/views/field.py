"""The field log: a page without anyone's data, and the messages that fill and empty it."""

import json

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.http import require_GET, require_POST

from assessments import policies
from assessments.field import carried
from assessments.field.day import day_of
from assessments.field.form import forms_of
from assessments.field.reading import Unreadable
from assessments.field.sending import receive
from assessments.field.words import field_words
from coursework.policies import get_visible


@login_not_required
@require_GET
@cache_control(no_cache=True)
def field_shell(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    """The same page for everybody at every address: a device fills it with what it carries."""
    words = json.dumps(field_words(), ensure_ascii=False)
    return render(request, "assessments/field.html", {"words": words})


@login_not_required
@require_GET
@cache_control(no_cache=True)
def field_worker(request: HttpRequest) -> HttpResponse:
    """The script that answers for the server where there is no signal."""
    response = render(
        request,
        "assessments/field_worker.js",
        {"version": carried.version(), "files": carried.addresses()},
        content_type="text/javascript",
    )
    response["Service-Worker-Allowed"] = "/field/"
    return response


@login_not_required
@require_GET
@cache_control(no_cache=True)
def field_manifest(request: HttpRequest) -> HttpResponse:
    """What a device needs to put the field log among its applications."""
    return JsonResponse(carried.manifest(), content_type="application/manifest+json")


@login_not_required
@require_GET
@never_cache
def field_day(request: HttpRequest) -> HttpResponse:
    """What a device of this person is to carry; 401 for whoever has not signed in."""
    # Also the first contact: a device without the token could send nothing.
    token = get_token(request)
    if not request.user.is_authenticated:
        return _signed_out()
    device = request.headers.get("X-Field-Device", "")
    day = day_of(request.user, device=device, now=timezone.now())
    return JsonResponse(day | {"token": token})


@login_not_required
@require_GET
@never_cache
def field_form(request: HttpRequest, pk: int) -> HttpResponse:
    """The forms of a drill, one for each check."""
    if not request.user.is_authenticated:
        return _signed_out()
    drills = policies.field_drills(request.user).select_related("exercise", "site")
    return JsonResponse(forms_of(get_visible(drills, pk=pk)))


@login_not_required
@require_POST
@never_cache
def field_send(request: HttpRequest) -> HttpResponse:
    """Takes what waits on a device; answers for each item by its key."""
    if not request.user.is_authenticated:
        return _signed_out()
    try:
        sent = json.loads(request.body)
        if not isinstance(sent, dict):
            raise Unreadable
        # What waits belongs to one person: never stored under another who signed in since.
        if sent.get("person") != request.user.pk:
            return JsonResponse({"person": request.user.pk}, status=409)
        answers = receive(request.user, sent)
    except (ValueError, RecursionError) as fault:
        sentence = str(fault) if isinstance(fault, Unreadable) else _("It cannot be read.")
        return JsonResponse({"sentence": sentence}, status=400)
    return JsonResponse(
        {"now": timezone.now().isoformat(), "person": request.user.pk, "answers": answers}
    )


def _signed_out() -> JsonResponse:
    return JsonResponse({"sentence": _("Sign in again.")}, status=401)
