"""What a person's own calendar holds besides drills: last days of approvals, and of what other
apps add from their AppConfig.ready."""

from collections.abc import Callable, Iterable
from datetime import UTC, timedelta

from django.utils.translation import gettext as _
from icalendar import Alarm, Event

from coursework.models import Person
from coursework.models.approvals import SOON

Source = Callable[[Person], Iterable[Event]]
_SOURCES: list[Source] = []


def add_source(source: Source) -> None:
    """`source` gives the entries of a person, in an order that does not change."""
    if source not in _SOURCES:
        _SOURCES.append(source)


def entries_of(person: Person) -> list[Event]:
    """Of every source, one after the other."""
    return [entry for source in _SOURCES for entry in source(person)]


def as_cancelled(entry: Event) -> Event:
    """The same entry as one that holds no more: calendars strike it out (RFC 5545, 3.8.1.11)."""
    entry.add("STATUS", "CANCELLED")
    entry.add("SEQUENCE", 1)
    # Nobody is reminded of it.
    entry.subcomponents = []
    return entry


def approval_entries(person: Person) -> Iterable[Event]:
    """The last day of each approval, with a reminder; renewed ones stay as cancelled."""
    rows = list(person.approvals.order_by("expires_on", "pk"))
    last = {row.kind: row.pk for row in rows}
    for row in rows:
        what = row.get_kind_display()
        entry = Event()
        entry.add("UID", f"approval-{row.pk}-{row.recorded_at:%Y%m%d%H%M%S}@plumbshadow")
        entry.add("DTSTAMP", row.recorded_at.astimezone(UTC).replace(microsecond=0))
        entry.add("DTSTART", row.expires_on)
        entry.add("DTEND", row.expires_on + timedelta(days=1))
        entry.add("SUMMARY", _("Last day: %s") % what)
        if row.detail:
            entry.add("DESCRIPTION", row.detail)
        entry.add("TRANSP", "TRANSPARENT")
        entry.add("CLASS", "PRIVATE")
        reminder = Alarm()
        reminder.add("ACTION", "DISPLAY")
        reminder.add("DESCRIPTION", entry["SUMMARY"])
        reminder.add("TRIGGER", -SOON)
        entry.add_component(reminder)
        yield entry if last[row.kind] == row.pk else as_cancelled(entry)


add_source(approval_entries)
