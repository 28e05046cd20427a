"""Choosing the language of all pages on this device."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

KEPT_SECONDS = 365 * 24 * 3600


@login_not_required
@require_POST
def choose_language(request: HttpRequest) -> HttpResponse:
    """Keep the language that was asked for and go back to the page it was asked from."""
    language = request.POST.get("language", "")
    if language not in dict(settings.LANGUAGES):
        return HttpResponseBadRequest()
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = "home"
    answer = redirect(back)
    answer.set_cookie(
        settings.LANGUAGE_COOKIE_NAME, language, max_age=KEPT_SECONDS, samesite="Lax",
        secure=settings.SESSION_COOKIE_SECURE, httponly=True,
    )  # fmt: skip
    return answer
