"""The sun and a plumb line's shadow through one local date."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np

from solar.bearings import bearing_deg
from solar.clock import local_day
from solar.daylight import OPEN, clearance_deg
from solar.ephemeris import sun_position
from solar.horizon import TerrainHorizon


@dataclass(frozen=True)
class SunRow:
    """One local time. Bearings true; elevation apparent; length in stick lengths.

    Shadow bearing and length are NaN while the sun is behind the horizon.
    """

    time: datetime
    azimuth_deg: float
    elevation_deg: float
    shadow_bearing_deg: float
    shadow_length: float


def sun_table(
    local_date: date,
    *,
    latitude_deg: float,
    longitude_deg: float,
    zone: ZoneInfo,
    elevation_m: float = 0.0,
    horizon: TerrainHorizon = OPEN,
    every_min: int = 30,
) -> list[SunRow]:
    """Rows every `every_min` minutes from local midnight (ClockError for a skipped date)."""
    start, end = (
        np.datetime64(part.replace(tzinfo=None), "us") for part in local_day(local_date, zone)
    )
    times = np.arange(start, end, np.timedelta64(every_min, "m"))
    place = {
        "latitude_deg": latitude_deg,
        "longitude_deg": longitude_deg,
        "elevation_m": elevation_m,
    }
    azimuth, elevation = sun_position(times, **place)
    up = (clearance_deg(times, horizon=horizon, **place) >= 0.0) & (elevation > 0.0)
    azimuth = bearing_deg(np.round(azimuth, 3))
    shadow = np.where(up, bearing_deg(azimuth + 180.0), np.nan)
    with np.errstate(divide="ignore"):
        length = np.where(up, 1.0 / np.tan(np.radians(elevation)), np.nan)
    moments = [moment.replace(tzinfo=UTC).astimezone(zone) for moment in times.tolist()]
    values = (part.tolist() for part in (azimuth, elevation, shadow, length))
    return [SunRow(*row) for row in zip(moments, *values, strict=True)]
