"""What the server writes about itself: one JSON object a line, nobody's data in it.

Names, addresses, what was typed and secret links reach a log by way of paths, exception texts and
the values put into messages. So a line holds the message's own words, numbers in them, the name of
the address instead of its path, and of an exception its kind and where it was raised.
"""

import json
import logging
import traceback
from datetime import UTC, datetime
from http.client import responses
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
# Their values are process numbers, addresses that the server listens at, and names of tasks.
TRUSTED = ("coursework.server", "gunicorn.error", "django_tasks", "django_tasks_db")
MOST_FRAMES = 12
LEFT_OUT = "…"


class JsonFormatter(logging.Formatter):
    """One record as one line of JSON, by the rules of this module."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": _message(record),
            "process": record.process,
        }
        request = getattr(record, "request", None)
        if request is not None:
            line |= {"method": request.method, "address": address_of(request)}
        line |= getattr(record, "facts", {})
        if getattr(record, "status_code", None) is not None:
            line["status"] = record.status_code
        if record.exc_info and record.exc_info[1] is not None:
            # Late, since the settings load this module before there is a database.
            from coursework.wants import want_of

            if want := want_of(record.exc_info[1]):
                line["lacks"] = want.value
            line["exception"] = _exception(record.exc_info[1])
        return json.dumps(line, ensure_ascii=False)


def address_of(request) -> str:
    """The name of the address that was asked for, never what stands in it."""
    match = getattr(request, "resolver_match", None)
    return (match.view_name or match.route) if match is not None else "unknown"


def _message(record: logging.LogRecord) -> str:
    if record.name.startswith("django.security"):
        # Such a message is the text of the exception: what somebody sent stands in it.
        return f"Refused: {record.name.removeprefix('django.security.')}"
    if record.name == "django.request" and getattr(record, "status_code", None) is not None:
        # Its message is the name of the status, and the path that was asked for.
        return f"Answered: {responses.get(record.status_code, record.status_code)}."
    words = str(record.msg)
    if not record.args:
        return words
    trusted = record.name.startswith(TRUSTED) and not record.exc_info
    try:
        if isinstance(record.args, dict):
            return words % {name: _plain(each, trusted) for name, each in record.args.items()}
        return words % tuple(_plain(each, trusted) for each in record.args)
    except (TypeError, ValueError):
        # A number was to be formatted, and what came was none.
        return words


def _plain(value, trusted: bool):
    return value if trusted or isinstance(value, int | float) else LEFT_OUT


def _exception(error: BaseException) -> dict:
    """Its kind and where it was raised, with what caused it; its text may hold a person's data."""
    frames = [
        f"{_short(frame.filename)}:{frame.lineno} {frame.name}"
        for frame in traceback.extract_tb(error.__traceback__)[-MOST_FRAMES:]
    ]
    found = {"kind": f"{type(error).__module__}.{type(error).__qualname__}", "at": frames}
    if error.__cause__ is not None and error.__cause__ is not error:
        found["cause"] = _exception(error.__cause__)
    return found


def _short(filename: str) -> str:
    path = Path(filename)
    if path.is_relative_to(ROOT) and "site-packages" not in path.parts:
        return str(path.relative_to(ROOT))
    return "/".join(path.parts[-3:])


def logging_settings(*, form: str, level: str) -> dict:
    """Django's LOGGING: everything to standard error, where whatever runs the server keeps it.

    `form` is "json", or "text" with full messages and tracebacks for one's own machine.
    """
    text = {"format": "{asctime} {levelname} {name}: {message}", "style": "{"}
    level = level.upper()
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {
            "json": {"()": "coursework.logs.JsonFormatter"},
            "text": text,
        },
        "handlers": {"stderr": {"class": "logging.StreamHandler", "formatter": form}},
        "root": {"handlers": ["stderr"], "level": "WARNING"},
        "loggers": {
            # Django's own handler mails faults to addresses that a school has not set up.
            "django": {"handlers": ["stderr"], "level": "WARNING", "propagate": False},
            # The development server's own lines, one a request.
            "django.server": {"level": "INFO"},
            # Tasks, and one line a request.
            "coursework": {"level": level},
            "assessments": {"level": level},
            "django_tasks": {"level": level},
            "django_tasks_db": {"level": level},
        },
    }
