"""What every request goes through: a line in the log, the school's clock, roles looked up once."""

import logging
import time
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from coursework.duties import keep_duties
from coursework.logs import address_of
from coursework.models import SchoolSettings
from solar.clock import zone_of

logger = logging.getLogger("coursework.requests")


def log_requests(get_response: Callable) -> Callable[[HttpRequest], HttpResponse]:
    """Stands first, so that the time holds everything below it."""

    def answer(request: HttpRequest) -> HttpResponse:
        started = time.perf_counter()
        response = get_response(request)
        facts = {
            "method": request.method,
            "address": address_of(request),
            "status": response.status_code,
            "ms": round((time.perf_counter() - started) * 1000.0, 1),
        }
        logger.info("Answered.", extra={"facts": facts})
        return response

    return answer


class Reader:
    """Days and hours of a page are those of its reader's school, so is what "today" means.

    Whoever only reads has their roles looked up once; where something changes, each time. Stands
    behind whatever finds out who someone is, and never asks for it itself.
    """

    def __init__(self, get_response: Callable):
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        try:
            return self.get_response(request)
        finally:
            timezone.deactivate()

    def process_view(self, request: HttpRequest, view, args, kwargs) -> None:
        if not request.session.accessed or not request.user.is_authenticated:
            return
        if request.user.school is not None:
            timezone.activate(zone_of(SchoolSettings.of(request.user.school).zone))
        if request.method in ("GET", "HEAD"):
            keep_duties(request.user)
