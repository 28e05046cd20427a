"""Values of a message from a device; each is read strictly, since anyone may write to it."""

import uuid
from datetime import datetime
from typing import Any

from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext as _

LONGEST_TEXT = 4000
MOST_FIELDS = 80
HIGHEST_NUMBER = 2**53


class Unreadable(ValueError):  # noqa: N818 - named for what it says
    """A value that is not what it should be; the message is a sentence for the person."""

    def __init__(self, sentence: str = "") -> None:
        super().__init__(sentence or _("What was sent cannot be read."))


def uuid_of(value: Any) -> uuid.UUID:
    try:
        return uuid.UUID(value)
    except (TypeError, ValueError, AttributeError) as fault:
        raise Unreadable from fault


def moment_of(value: Any) -> datetime:
    """An aware time from ISO 8601 text with an offset."""
    try:
        moment = parse_datetime(value)
    except (TypeError, ValueError) as fault:
        raise Unreadable from fault
    if moment is None or moment.tzinfo is None:
        raise Unreadable
    return moment


def number_of(value: Any, *, highest: int = HIGHEST_NUMBER, signed: bool = False) -> int:
    """A whole number from 0 (or from -`highest`, where `signed`) to `highest`."""
    if not isinstance(value, int) or isinstance(value, bool):
        raise Unreadable
    if not (-highest if signed else 0) <= value <= highest:
        raise Unreadable
    return value


def texts_of(value: Any) -> dict[str, list[str]]:
    """What was typed, by the name of its field; ticked choices hold several texts."""
    if not isinstance(value, dict) or len(value) > MOST_FIELDS:
        raise Unreadable
    fields = {}
    for name, typed in value.items():
        texts = typed if isinstance(typed, list) else [typed]
        if not all(isinstance(text, str) and len(text) <= LONGEST_TEXT for text in texts):
            raise Unreadable
        fields[name] = texts
    return fields
