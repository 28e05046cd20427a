"""The page for a fault of the server: what it was decides what people are told.

A database that is gone, busy or full is no fault of the code: 503 says so, to people and machines,
and what waits on a device is kept there and sent again.
"""

import sys

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.views.defaults import server_error as plain_server_error

from coursework import room
from coursework.wants import Want, want_of

RETRY_AFTER_S = 30


def server_error(request: HttpRequest) -> HttpResponse:
    """Django's handler for what nobody caught; it calls this while the exception is handled."""
    want = want_of(sys.exc_info()[1])
    if want is None:
        return plain_server_error(request)
    if want is Want.ROOM:
        room.refused()
    was_sent = request.method == "POST"
    sentence = _to_sender(want) if was_sent else _to_reader(want)
    if "application/json" in request.headers.get("Accept", ""):
        response: HttpResponse = JsonResponse({"sentence": sentence}, status=503)
    else:
        context = {"heading": _heading(want), "sentence": sentence, "was_sent": was_sent}
        page = render_to_string("503.html", context)
        response = HttpResponse(page, status=503)
    response["Retry-After"] = str(RETRY_AFTER_S)
    response["Cache-Control"] = "no-store"
    return response


def _heading(want: Want) -> str:
    if want is Want.ROOM:
        return _("The server has no room left")
    if want is Want.TIME:
        return _("The server is busy")
    return _("The server cannot reach its records")


def _to_sender(want: Want) -> str:
    """What became of that which came with the request."""
    if want is Want.ROOM:
        return _(
            "Its disk is full. Nothing that you sent with this was saved; what was saved before is "
            "safe. Whoever runs the server has to make room: tell them."
        )
    if want is Want.TIME:
        return _(
            "Others were saving at the same time for too long. Nothing that you sent with this was "
            "saved; what was saved before is safe. Try again in a moment."
        )
    return _(
        "What was saved before is safe; what you sent with this may not have been saved. Try again "
        "in a minute, and look first whether it is there. If it goes on, tell whoever runs the "
        "server."
    )


def _to_reader(want: Want) -> str:
    """Whoever only opened a page has nothing to fear for."""
    if want is Want.ROOM:
        return _(
            "Its disk is full. What was saved before is safe. Whoever runs the server has to make "
            "room: tell them."
        )
    if want is Want.TIME:
        return _(
            "Others were saving at the same time for too long. What was saved before is safe. Try "
            "again in a moment."
        )
    return _(
        "What was saved before is safe. Try again in a minute. If it goes on, tell whoever runs "
        "the server."
    )
