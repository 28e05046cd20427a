"""Numbers and names set as the reader's language sets them."""

import re
from collections.abc import Iterable
from datetime import date

from django.utils import formats
from django.utils.formats import number_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, pgettext

MONTHS = (
    gettext_noop("jan"),
    gettext_noop("feb"),
    gettext_noop("mar"),
    gettext_noop("apr"),
    gettext_noop("may"),
    gettext_noop("jun"),
    gettext_noop("jul"),
    gettext_noop("aug"),
    gettext_noop("sep"),
    gettext_noop("oct"),
    gettext_noop("nov"),
    gettext_noop("dec"),
)
"""Short names of months as Django asks for them, so that our catalogue has them: its own French
cuts them to three letters, 'jui' for June."""

DAYS = (
    gettext_noop("Mon"),
    gettext_noop("Tue"),
    gettext_noop("Wed"),
    gettext_noop("Thu"),
    gettext_noop("Fri"),
    gettext_noop("Sat"),
    gettext_noop("Sun"),
)
"""Short names of the days of the week, for the same reason: 'dim.', not 'dim'."""

DAY_BEFORE_MONTH = re.compile(r"(?<!\\)j(?= [FMNEb])")


def fixed(value: float, places: int = 1) -> str:
    """A number with so many decimals, such as '2.1', in French '2,1'."""
    return number_format(f"{float(value):.{places}f}", decimal_pos=places)


def plain(value: float, digits: int = 6) -> str:
    """A number without zeros behind it, such as '15' or '4.5', in French '4,5'."""
    text = f"{float(value):.{digits}g}"
    if "e" in text:
        return text
    return number_format(text, decimal_pos=len(text.partition(".")[2]))


def said_of(name: str, text: str) -> str:
    """A name and what is said of it, with the colon as the language sets it."""
    return _("%(name)s: %(text)s") % {"name": name, "text": text}


def in_one_line(parts: Iterable[str]) -> str:
    """Parts of a sentence beside each other, with the semicolon as the language sets it."""
    return pgettext("between parts of a sentence", "; ").join(parts)


def short_date(day: date, pattern: str = "j M Y") -> str:
    """A date with the month's short name, such as '4 Jun 2026', in French '4 juin 2026'.

    pattern: a date format of Django with an M in it; which letter stands for the short name, with
    a capital or without, goes by the language.
    """
    return date_format(day, pattern.replace("M", pgettext("format letter of a short month", "M")))


def date_format(day: date, pattern: str) -> str:
    """A date as Django words it, save that the first of a month has its own word before the month.

    In French it is '1er mars', in English '1 March'; every other day is a plain number.
    """
    return formats.date_format(day, day_pattern(day, pattern))


def first_of_month() -> str:
    """What the first of a month is called before the month: '1', in French '1er'."""
    return pgettext("first day of a month, before its name", "1")


def day_pattern(day: date, pattern: str) -> str:
    """A date format of Django in which the first of a month is written out for the language."""
    if getattr(day, "day", None) != 1:
        return pattern
    first = first_of_month()
    return DAY_BEFORE_MONTH.sub(lambda _found: re.sub(r"([A-Za-z])", r"\\\1", first), pattern)
