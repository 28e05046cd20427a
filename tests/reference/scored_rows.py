"""Scores of rows written as a few words, for the published cases."""

import numpy as np

from solar.ephemeris import declination_and_hour_angle
from solar.scoring import score

USUAL = {
    "method": "shadow-tip",
    "lat": "40",
    "lon": "0",
    "check": "direct",
    "reading_deg": "0",
    "tolerance_deg": "15",
}


def texts_of(times):
    """Instants (datetime64, UTC) as the batch file writes them."""
    return [f"{moment}Z" for moment in np.asarray(times).astype("datetime64[us]").astype(str)]


def scored(**columns):
    """Added columns of rows that share scalars and differ where a list is given."""
    rows = max((len(v) for v in columns.values() if isinstance(v, list)), default=1)
    table = {name: [value] * rows for name, value in USUAL.items()}
    table["attempt"] = [str(number) for number in range(rows)]
    for name, value in columns.items():
        values = value if isinstance(value, list) else [value] * rows
        table[name] = [str(each) for each in values]
    return score(table).columns


def scored_one(**columns):
    """The same for one row: numbers and words instead of columns."""
    return {name: values[0] for name, values in scored(**columns).items()}


def solstice(north=True):
    """The instant of 2025 at which the declination is greatest (June) or least (December)."""
    month = "2025-06" if north else "2025-12"
    times = np.arange(f"{month}-19", f"{month}-24", np.timedelta64(10, "m"), dtype="datetime64[m]")
    declination, _ = declination_and_hour_angle(times, longitude_deg=0.0)
    return times[np.argmax(declination if north else -declination)].astype("datetime64[us]")


def equinox():
    """The instant of March 2025 at which the declination passes 0."""
    times = np.arange("2025-03-19", "2025-03-22", np.timedelta64(1, "m"), dtype="datetime64[m]")
    declination, _ = declination_and_hour_angle(times, longitude_deg=0.0)
    return times[np.argmin(np.abs(declination))].astype("datetime64[us]")


def longitude_for(time, hour_angle_deg):
    """Declination of the sun then, and the longitudes at which it has those hour angles."""
    declination, greenwich = declination_and_hour_angle(np.array([time]), longitude_deg=0.0)
    longitude = np.mod(np.asarray(hour_angle_deg) - greenwich[0] + 180.0, 360.0) - 180.0
    return float(declination[0]), longitude


def marks_around(time, minutes):
    """Two marks that many minutes apart with `time` in the middle, as text."""
    half = np.timedelta64(round(minutes * 30_000_000), "us")
    return ";".join(texts_of([time - half, time + half]))
