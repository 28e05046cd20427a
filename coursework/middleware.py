"""One line in the log for each request: what was asked for, how it ended, how long it took."""

import logging
import time
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

from coursework.logs import address_of

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
