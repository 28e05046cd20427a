"""What lapses soon, as a list and as calendar entries (RFC 5545)."""

from collections.abc import Iterable
from datetime import UTC, timedelta

from django.utils.translation import gettext as _
from icalendar import Alarm, Calendar, Event

from assessments.models import Packet

PRODUCT = "-//Plumbshadow//Certificates//EN"
REMINDED_BEFORE = timedelta(days=60)


def calendar_of(packets: Iterable[Packet]) -> bytes:
    """One all-day entry a certificate, on the last day that it holds."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    for packet in packets:
        calendar.add_component(entry_of(packet))
    return calendar.to_ical()


def entry_of(packet: Packet) -> Event:
    """The last day of a certificate, with a reminder; the same entry whenever it is made."""
    said = {"title": packet.certification.title, "name": packet.holder}
    entry = Event()
    entry.add("uid", f"certificate-{packet.pk}-{packet.issued_at:%Y%m%d%H%M%S}@plumbshadow")
    entry.add("dtstamp", packet.issued_at.astimezone(UTC).replace(microsecond=0))
    entry.add("dtstart", packet.expires_on)
    entry.add("dtend", packet.expires_on + timedelta(days=1))
    entry.add("summary", _("Last day: %(title)s, %(name)s") % said)
    entry.add("description", packet.certification.renewal_in_words)
    entry.add("transp", "TRANSPARENT")
    reminder = Alarm()
    reminder.add("action", "DISPLAY")
    reminder.add("description", entry["summary"])
    reminder.add("trigger", -REMINDED_BEFORE)
    entry.add_component(reminder)
    return entry


def lapsing(packets, today, days: int):
    """Those whose last day is today or within so many days."""
    return packets.lapsing(today, today + timedelta(days=days))
