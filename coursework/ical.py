"""Drills and lessons as an iCalendar file (RFC 5545; NAME, REFRESH-INTERVAL of RFC 7986)."""

from collections.abc import Callable, Iterable
from datetime import UTC, timedelta

from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from coursework.models.bookings import Booking
from coursework.templatetags.coursework import local_hour, local_time

PRODID = "-//Plumbshadow//Drills//EN"
CONTENT_TYPE = "text/calendar; charset=utf-8"
READ_AGAIN = timedelta(hours=1)


def calendar_of(
    bookings: Iterable[Booking],
    *,
    name: str,
    address: Callable[[Booking], str],
    besides: Iterable[Event] = (),
) -> bytes:
    """The file: lines end in CRLF and are folded at 75 octets, times are in UTC.

    bookings: drills and planned lessons with all that is theirs, people and groups too.
    `address` gives the absolute address of the page of one. `besides`: entries that follow
    them. The same ones and the same entries give the same bytes.
    """
    calendar = Calendar()
    calendar.add("PRODID", PRODID)
    calendar.add("VERSION", "2.0")
    calendar.add("CALSCALE", "GREGORIAN")
    calendar.add("NAME", name)
    # Read by programs that do not know NAME yet.
    calendar.add("X-WR-CALNAME", name)
    calendar.add("REFRESH-INTERVAL", READ_AGAIN, parameters={"VALUE": "DURATION"})
    for booking in bookings:
        calendar.add_component(_event(booking, address(booking)))
    for entry in besides:
        calendar.add_component(entry)
    return calendar.to_ical()


def _event(booking: Booking, address: str) -> Event:
    event = Event()
    event.add("UID", str(booking.key))
    event.add("DTSTAMP", booking.changed_at.astimezone(UTC))
    event.add("LAST-MODIFIED", booking.changed_at.astimezone(UTC))
    event.add("SEQUENCE", booking.sequence)
    event.add("DTSTART", booking.starts_at.astimezone(UTC))
    event.add("DTEND", booking.ends_at.astimezone(UTC))
    event.add("STATUS", "CANCELLED" if booking.is_cancelled else "CONFIRMED")
    event.add("SUMMARY", _summary(booking))
    event.add("LOCATION", booking.place_name)
    if booking.site is not None:
        event.add("GEO", (booking.site.latitude_deg, booking.site.longitude_deg))
    event.add("DESCRIPTION", "\n".join(_lines(booking)))
    event.add("URL", address)
    event.add("CLASS", "PRIVATE")
    return event


def _summary(booking: Booking) -> str:
    groups = ", ".join(group.name for group in booking.groups.all())
    said = _("Lesson: %s") % booking.title if booking.is_lesson else booking.title
    if groups:
        said = f"{said} ({groups})"
    return _("Cancelled: %s") % said if booking.is_cancelled else said


def _lines(booking: Booking) -> list[str]:
    lines = [
        _("%(cohort)s, %(start)s to %(end)s")
        % {
            "cohort": booking.cohort.name,
            "start": local_time(booking.starts_at, booking.zone),
            "end": local_hour(booking.ends_at, booking.zone),
        }
    ]
    if booking.is_cancelled:
        lines.append(_("Cancelled. %s") % booking.cancel_reason)
    if booking.lead:
        lines.append(_("Lead: %s") % booking.lead.name)
    if names := ", ".join(person.name for person in booking.assistants.all()):
        lines.append(_("Assistants: %s") % names)
    if booking.is_lesson:
        return [*lines, *filter(None, [booking.note])]
    if booking.wet_plan:
        lines.append(_("In wet weather: %s") % booking.wet_plan)
    return lines
