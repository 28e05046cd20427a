"""Drills as an iCalendar file (RFC 5545, with NAME and REFRESH-INTERVAL of RFC 7986)."""

from collections.abc import Callable, Iterable
from datetime import UTC, timedelta

from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from coursework.models import Drill
from coursework.templatetags.coursework import local_hour, local_time

PRODID = "-//Plumbshadow//Drills//EN"
CONTENT_TYPE = "text/calendar; charset=utf-8"
READ_AGAIN = timedelta(hours=1)


def calendar_of(
    drills: Iterable[Drill],
    *,
    name: str,
    address: Callable[[Drill], str],
    besides: Iterable[Event] = (),
) -> bytes:
    """The file: lines end in CRLF and are folded at 75 octets, times are in UTC.

    drills: with exercise, site, cohort, lead, assistants and groups. `address` gives the
    absolute address of a drill's page. `besides`: entries that follow the drills. The same
    drills and entries give the same bytes.
    """
    calendar = Calendar()
    calendar.add("PRODID", PRODID)
    calendar.add("VERSION", "2.0")
    calendar.add("CALSCALE", "GREGORIAN")
    calendar.add("NAME", name)
    # Read by programs that do not know NAME yet.
    calendar.add("X-WR-CALNAME", name)
    calendar.add("REFRESH-INTERVAL", READ_AGAIN, parameters={"VALUE": "DURATION"})
    for drill in drills:
        calendar.add_component(_event(drill, address(drill)))
    for entry in besides:
        calendar.add_component(entry)
    return calendar.to_ical()


def _event(drill: Drill, address: str) -> Event:
    event = Event()
    event.add("UID", str(drill.key))
    event.add("DTSTAMP", drill.changed_at.astimezone(UTC))
    event.add("LAST-MODIFIED", drill.changed_at.astimezone(UTC))
    event.add("SEQUENCE", drill.sequence)
    event.add("DTSTART", drill.starts_at.astimezone(UTC))
    event.add("DTEND", drill.ends_at.astimezone(UTC))
    event.add("STATUS", "CANCELLED" if drill.is_cancelled else "CONFIRMED")
    event.add("SUMMARY", _summary(drill))
    event.add("LOCATION", drill.site.name)
    event.add("GEO", (drill.site.latitude_deg, drill.site.longitude_deg))
    event.add("DESCRIPTION", "\n".join(_lines(drill)))
    event.add("URL", address)
    event.add("CLASS", "PRIVATE")
    return event


def _summary(drill: Drill) -> str:
    groups = ", ".join(group.name for group in drill.groups.all())
    said = f"{drill.exercise.title} ({groups})" if groups else drill.exercise.title
    return _("Cancelled: %s") % said if drill.is_cancelled else said


def _lines(drill: Drill) -> list[str]:
    zone = drill.site.zone
    lines = [
        _("%(cohort)s, %(start)s to %(end)s")
        % {
            "cohort": drill.cohort.name,
            "start": local_time(drill.starts_at, zone),
            "end": local_hour(drill.ends_at, zone),
        }
    ]
    if drill.is_cancelled:
        lines.append(_("Cancelled. %s") % drill.cancel_reason)
    if drill.lead:
        lines.append(_("Lead: %s") % drill.lead.name)
    if names := ", ".join(person.name for person in drill.assistants.all()):
        lines.append(_("Assistants: %s") % names)
    if drill.wet_plan:
        lines.append(_("In wet weather: %s") % drill.wet_plan)
    return lines
