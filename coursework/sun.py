"""The sun at a site, for pages."""

from dataclasses import dataclass
from datetime import date, datetime

from coursework.models import Site
from solar import daylight
from solar.clock import ClockError
from solar.ephemeris import sun_position, utc_times


@dataclass(frozen=True)
class SunThen:
    """Where the sun stands at one instant: degrees, the bearing true, the elevation apparent."""

    azimuth_deg: float
    elevation_deg: float
    skyline_deg: float
    is_up: bool
    """Whether the upper limb stands above the skyline, or above a flat horizon without one."""

    @property
    def is_behind_skyline(self) -> bool:
        """Above a flat horizon, yet hidden by the ground."""
        return not self.is_up and self.elevation_deg > 0.0


def sun_of_day(site: Site, day: date) -> daylight.Day | None:
    """Rise, noon and set at a site, its skyline counted; None for a date its zone left out."""
    try:
        return daylight.day(day, **_place(site), zone=site.zone_info, horizon=site.profile)
    except ClockError:
        return None


def sun_at(site: Site, instant: datetime) -> SunThen:
    """The sun at a site at an aware instant, and the skyline in its direction."""
    azimuth_deg, elevation_deg = sun_position(instant, **_place(site))
    clearance_deg = daylight.clearance_deg(utc_times(instant), **_place(site), horizon=site.profile)
    return SunThen(
        azimuth_deg=float(azimuth_deg),
        elevation_deg=float(elevation_deg),
        skyline_deg=float(site.profile.elevation_deg(azimuth_deg)),
        is_up=bool(clearance_deg > 0.0),
    )


def _place(site: Site) -> dict[str, float]:
    return {
        "latitude_deg": site.latitude_deg,
        "longitude_deg": site.longitude_deg,
        "elevation_m": site.elevation_m,
    }
