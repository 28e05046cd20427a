"""What is said of the instrument that a line was checked with."""

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext as _

from coursework.wording import date_format


def instrument_check_words(facts: Mapping) -> str:
    """When the instrument itself had last been checked, and whether that was in time."""
    check = facts.get("instrument_check")
    if not check:
        return ""
    if not check["checked_on"]:
        return _("never: its correction was not checked against a surveyed mark")
    day = date_format(date.fromisoformat(check["checked_on"]), "j F Y")
    if not check["overdue"]:
        return day
    due = date_format(date.fromisoformat(check["due_on"]), "j F Y")
    return _("%(day)s; the next one was overdue since %(due)s") % {"day": day, "due": due}
