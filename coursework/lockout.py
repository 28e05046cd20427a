"""Sign-in is closed for a while after many wrong passwords, for that name from that address.

A whole school often stands behind one address: the others there still sign in.
"""

from datetime import timedelta

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

LONGEST_ADDRESS = 60


def sender_of(request: HttpRequest) -> str:
    """The address a request comes from: behind a proxy, the one that the proxy added last."""
    if settings.SECURE_PROXY_SSL_HEADER is not None:
        forwarded = request.headers.get("X-Forwarded-For", "").split(",")[-1].strip()
        if forwarded:
            return forwarded[:LONGEST_ADDRESS]
    return request.META.get("REMOTE_ADDR", "")


def closed_for_a_while(request: HttpRequest, _response=None, _credentials=None) -> HttpResponse:
    """The page that stands for sign-in meanwhile, the same whether or not there is such a name."""
    wait: timedelta = settings.AXES_COOLOFF_TIME
    seconds = int(wait.total_seconds())
    response = render(
        request, "registration/closed_for_a_while.html", {"minutes": seconds // 60}, status=429
    )
    response["Retry-After"] = str(seconds)
    return response
