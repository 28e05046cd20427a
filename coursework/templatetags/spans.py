"""From when to when, by the clock of its place."""

from django import template

from coursework.models.bookings import Booking
from coursework.templatetags.coursework import local_hour, local_time, zone_abbreviation

register = template.Library()


@register.simple_tag
def local_span(booking: Booking, *, hours_only: bool = False) -> str:
    """Start and end of a drill or a lesson, such as 'Sat 20 June 2026, 09:30–10:30 CEST'.

    The zone is said once, or twice where the clock is put on or back in between.
    """
    zone = booking.zone_info
    start = (local_hour if hours_only else local_time)(booking.starts_at, zone)
    end = local_hour(booking.ends_at, zone)
    before, after = (
        zone_abbreviation(at.astimezone(zone)) for at in (booking.starts_at, booking.ends_at)
    )
    if before != after:
        return f"{start} – {end}"
    return f"{start.removesuffix(before).rstrip()}–{end}"
