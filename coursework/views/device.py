"""What is chosen for all pages on this device: their light and their language."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from coursework import lights

KEPT_SECONDS = 365 * 24 * 3600


@login_not_required
@require_POST
def choose_light(request: HttpRequest) -> HttpResponse:
    # Scripts read it too: the field log opens without signal, where no server writes the page.
    return _keep(request, "light", lights.LIGHTS, cookie=lights.COOKIE, for_scripts=True)


@login_not_required
@require_POST
def choose_language(request: HttpRequest) -> HttpResponse:
    return _keep(
        request, "language", dict(settings.LANGUAGES), cookie=settings.LANGUAGE_COOKIE_NAME
    )


def _keep(
    request: HttpRequest, name: str, allowed: dict, *, cookie: str, for_scripts: bool = False
) -> HttpResponse:
    """Keep what was asked for and go back to the page it was asked from; blank forgets it."""
    value = request.POST.get(name, "")
    if value not in allowed:
        return HttpResponseBadRequest()
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = "home"
    answer = redirect(back)
    if value:
        answer.set_cookie(
            cookie,
            value,
            max_age=KEPT_SECONDS,
            samesite="Lax",
            secure=settings.SESSION_COOKIE_SECURE,
            httponly=not for_scripts,
        )
    else:
        answer.delete_cookie(cookie, samesite="Lax")
    return answer
