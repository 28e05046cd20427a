"""The sun at a site on a date, for pages."""

from datetime import date

from coursework.models import Site
from solar import daylight
from solar.clock import ClockError


def sun_of_day(site: Site, day: date) -> daylight.Day | None:
    """Rise, noon and set at a site, its skyline counted; None for a date its zone left out."""
    try:
        return daylight.day(
            day,
            latitude_deg=site.latitude_deg,
            longitude_deg=site.longitude_deg,
            elevation_m=site.elevation_m,
            zone=site.zone_info,
            horizon=site.profile,
        )
    except ClockError:
        return None
