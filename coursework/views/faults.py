"""The page for a fault of the server: what it was decides what people are told.

A database that is gone, busy or full is no fault of the code: 503 says so, to people and machines,
and what waits on a device is kept there and sent again.
"""

import errno
import sys
from enum import Enum

from django.db import DatabaseError, InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.views.defaults import server_error as plain_server_error

RETRY_AFTER_S = 30
_NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_FULL = ("disk is full", "disk full", "no space left", "file too large")
_BUSY = ("is locked", "deadlock", "lock timeout")
# Tables that are not there: a fault of whoever set it up, and waiting mends nothing.
_WRONG = ("no such table", "no such column")


class Want(Enum):
    """What the server lacks."""

    ROOM = "room"
    TIME = "time"
    DATABASE = "database"


# What PostgreSQL says in a language of its own, it also says as an SQLSTATE.
_BY_STATE = {
    "53100": Want.ROOM,  # disk full
    "40001": Want.TIME,  # could not be put in order with others
    "40P01": Want.TIME,  # deadlock
    "55P03": Want.TIME,  # a lock was not given in time
    "57014": Want.TIME,  # cancelled, as after a time limit
    "25006": Want.DATABASE,  # may only be read, as while another server takes over
}


def want_of(error: BaseException | None) -> Want | None:
    """What the server lacked when `error` was raised; None where it is a fault of another kind."""
    if isinstance(error, OSError) and error.errno in _NO_ROOM:
        return Want.ROOM
    if not isinstance(error, DatabaseError | InterfaceError):
        return None
    state = getattr(error.__cause__, "sqlstate", None)
    if state in _BY_STATE:
        return _BY_STATE[state]
    text = str(error).lower()
    if any(words in text for words in _FULL):
        return Want.ROOM
    if not isinstance(error, OperationalError | InterfaceError):
        return None
    if any(words in text for words in _WRONG):
        return None
    return Want.TIME if any(words in text for words in _BUSY) else Want.DATABASE


def server_error(request: HttpRequest) -> HttpResponse:
    """Django's handler for what nobody caught; it calls this while the exception is handled."""
    want = want_of(sys.exc_info()[1])
    if want is None:
        return plain_server_error(request)
    heading, sentence = _words(want)
    if "application/json" in request.headers.get("Accept", ""):
        response: HttpResponse = JsonResponse({"sentence": sentence}, status=503)
    else:
        context = {"heading": heading, "sentence": sentence, "was_sent": request.method == "POST"}
        page = render_to_string("503.html", context)
        response = HttpResponse(page, status=503)
    response["Retry-After"] = str(RETRY_AFTER_S)
    response["Cache-Control"] = "no-store"
    return response


def _words(want: Want) -> tuple[str, str]:
    if want is Want.ROOM:
        return _("The server has no room left"), _(
            "Its disk is full. Nothing that you sent with this was saved; what was saved before is "
            "safe. Whoever runs the server has to make room: tell them."
        )
    if want is Want.TIME:
        return _("The server is busy"), _(
            "Others were saving at the same time for too long. Nothing that you sent with this was "
            "saved; what was saved before is safe. Try again in a moment."
        )
    return _("The server cannot reach its records"), _(
        "What was saved before is safe; what you sent with this may not have been saved. Try again "
        "in a minute, and look first whether it is there. If it goes on, tell whoever runs the "
        "server."
    )
