"""Rise and set at odd places against a search on astropy's sun."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from solar.daylight import day
from solar.horizon import TerrainHorizon
from tests.reference.libraries import astropy_sun
from tests.reference.second_opinion import Place

pytestmark = pytest.mark.reference

PLACES = [
    ("Hobart in midwinter", "Australia/Hobart", -42.9, 147.3, "2024-06-21"),
    ("Quito at an equinox", "America/Guayaquil", -0.2, -78.5, "2031-03-20"),
    ("Nairobi at the end of a year", "Africa/Nairobi", -1.3, 36.8, "1999-12-31"),
    ("east of the date line", "Pacific/Apia", -13.8, -171.8, "2010-05-05"),
    ("the date line moved: the day after the one left out", "Pacific/Apia", -13.8, -171.8,
     "2011-12-31"),
    ("fourteen hours ahead of UTC", "Pacific/Kiritimati", 1.9, -157.4, "2048-02-29"),
    ("clocks put forward", "Europe/Berlin", 52.5, 13.4, "2025-03-30"),
    ("clocks put back", "America/Denver", 39.7, -105.0, "2025-11-02"),
    ("half an hour of summer time", "Australia/Lord_Howe", -31.6, 159.1, "2026-04-05"),
    ("midnight put forward", "America/Havana", 23.1, -82.4, "2023-03-12"),
    ("twilight north of the circle", "Europe/Helsinki", 69.0, 27.0, "2020-01-20"),
    ("the far south", "America/Punta_Arenas", -54.9, -67.6, "2042-12-21"),
    ("the first day of the years", "Pacific/Auckland", -41.3, 174.8, "1990-01-01"),
    ("the last day of the years", "America/Anchorage", 61.2, -149.9, "2050-12-31"),
]  # fmt: skip


def local_midnights(day_of, zone):
    start = datetime.combine(day_of, datetime.min.time(), tzinfo=zone)
    end = datetime.combine(day_of + timedelta(days=1), datetime.min.time(), tzinfo=zone)
    return start.astimezone(UTC), end.astimezone(UTC)


def astropy_crossings(start, end, latitude_deg, longitude_deg):
    """Instants at which the true elevation passes -0.8333 degrees, by interpolation in minutes."""
    minutes = np.datetime64(start.replace(tzinfo=None), "s") + np.arange(
        0, int((end - start) / timedelta(seconds=1)) + 60, 60
    ).astype("timedelta64[s]")
    _, elevation = astropy_sun(minutes, latitude_deg, longitude_deg, 0.0)
    height = elevation + 0.8333
    at = np.flatnonzero((height[:-1] >= 0) != (height[1:] >= 0))
    part = height[at] / (height[at] - height[at + 1])
    seconds = minutes[at].astype("int64") + 60.0 * part
    kinds = np.where(height[at] < 0, "rise", "set")
    return [(datetime.fromtimestamp(s, UTC), kind) for s, kind in zip(seconds, kinds, strict=True)]


@pytest.mark.parametrize(
    ("zone", "latitude_deg", "longitude_deg", "day_of"),
    [place[1:] for place in PLACES],
    ids=[place[0] for place in PLACES],
)
def test_rise_and_set_at_odd_places_agree_with_astropy(zone, latitude_deg, longitude_deg, day_of):
    zone, day_of = ZoneInfo(zone), date.fromisoformat(day_of)
    start, end = local_midnights(day_of, zone)
    expected = astropy_crossings(start, end, latitude_deg, longitude_deg)
    found = day(day_of, latitude_deg=latitude_deg, longitude_deg=longitude_deg, zone=zone)
    ours = sorted([(t, "rise") for t in found.rises] + [(t, "set") for t in found.sets])
    assert [kind for _, kind in ours] == [kind for _, kind in expected if start <= _ < end]
    for (instant, _), (other, _) in zip(ours, expected, strict=True):
        # At 69 N in January the sun climbs so flatly that 0.0003 degrees are some seconds.
        assert abs(instant - other) < timedelta(seconds=1.5)


def test_the_polar_day_and_night_begin_and_end_on_the_same_dates_as_astropys():
    zone = ZoneInfo("Arctic/Longyearbyen")
    for first in (date(2027, 2, 10), date(2027, 4, 14), date(2027, 8, 19), date(2027, 10, 22)):
        for day_of in (first + timedelta(days=n) for n in range(10)):
            start, end = local_midnights(day_of, zone)
            expected = astropy_crossings(start, end, 78.22, 15.65)
            found = day(day_of, latitude_deg=78.22, longitude_deg=15.65, zone=zone)
            assert len(found.rises) + len(found.sets) == len(expected), day_of


@pytest.mark.parametrize("seed", range(12))
def test_rise_and_set_over_random_skylines_agree_with_a_search_on_pvlibs_sun(seed):
    generator = np.random.default_rng(seed)
    pairs = [
        (int(bearing), round(float(generator.uniform(-2, 14)), 1))
        for bearing in np.arange(generator.integers(20), 360, 24)
    ]
    latitude, longitude = generator.uniform(-66, 66), generator.uniform(-180, 180)
    day_of = date(2025, 1, 1) + timedelta(days=int(generator.integers(360)))
    start, end = local_midnights(day_of, UTC)
    place = Place(latitude, longitude, 800.0, pairs)
    expected = place.crossings(start.timestamp(), end.timestamp())
    found = day(
        day_of,
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=800.0,
        zone=ZoneInfo("UTC"),
        horizon=TerrainHorizon.parse(" ".join(f"{b}:{e}" for b, e in pairs)),
    )
    ours = sorted([(t, "rise") for t in found.rises] + [(t, "set") for t in found.sets])
    assert [kind for _, kind in ours] == [kind for _, kind in expected]
    for (instant, _), (other, _) in zip(ours, expected, strict=True):
        assert abs(instant.timestamp() - other) < 0.5


def test_a_peak_hides_the_sun_and_lets_it_out_again():
    # A single summit of eight degrees to the south-east: two rises and two sets.
    profile = "0:0 120:0 130:25 140:0 359:0"
    found = day(
        date(2025, 3, 1),
        latitude_deg=46.0,
        longitude_deg=8.0,
        zone=ZoneInfo("Europe/Zurich"),
        horizon=TerrainHorizon.parse(profile),
    )
    pairs = [tuple(map(float, pair.split(":"))) for pair in profile.split()]
    start, end = local_midnights(date(2025, 3, 1), ZoneInfo("Europe/Zurich"))
    expected = Place(46.0, 8.0, 0.0, pairs).crossings(start.timestamp(), end.timestamp())
    assert (len(found.rises), len(found.sets)) == (2, 2)
    assert [kind for _, kind in expected] == ["rise", "set", "rise", "set"]
