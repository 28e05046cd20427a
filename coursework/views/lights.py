"""Choosing the light of all pages on this device."""

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from coursework import lights


@login_not_required
@require_POST
def choose_light(request: HttpRequest) -> HttpResponse:
    """Keep the light that was asked for and go back to the page it was asked from."""
    light = request.POST.get("light", "")
    if light not in lights.LIGHTS:
        return HttpResponseBadRequest()
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = "home"
    answer = redirect(back)
    if light:
        # Scripts read it too: the field log opens without signal, where no server writes the page.
        answer.set_cookie(
            lights.COOKIE, light, max_age=lights.KEPT_SECONDS, samesite="Lax",
            secure=settings.SESSION_COOKIE_SECURE,
        )  # fmt: skip
    else:
        answer.delete_cookie(lights.COOKIE, samesite="Lax")
    return answer
