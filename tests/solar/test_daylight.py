"""Rise, noon and set: every kind of day and skyline (published times: tests/reference)."""

from datetime import UTC, date, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from solar.clock import ClockError
from solar.daylight import clearance_deg, clearance_each_deg, crossings, day, upper_transit
from solar.ephemeris import declination_and_hour_angle, sun_position
from solar.horizon import TerrainHorizon

ALPS = {"latitude_deg": 46.5, "longitude_deg": 8.0, "zone": ZoneInfo("Europe/Zurich")}
ARCTIC = {"latitude_deg": 78.2, "longitude_deg": 15.6, "zone": ZoneInfo("Arctic/Longyearbyen")}
PEAKS = TerrainHorizon.parse("0:0 72:0 75:25 78:0 82:0 86:45 90:0")


def test_a_plain_day_rises_once_and_sets_once():
    sun = day(date(2026, 5, 10), **ALPS)
    assert (len(sun.rises), len(sun.sets), sun.state) == (1, 1, "rises and sets")
    assert sun.rises[0] < sun.noon < sun.sets[0]
    assert {moment.date() for moment in (*sun.rises, sun.noon, *sun.sets)} == {date(2026, 5, 10)}


@pytest.mark.parametrize(
    ("of", "state"), [(date(2026, 6, 21), "up all day"), (date(2026, 12, 21), "down all day")]
)
def test_the_polar_day_and_night_are_results_and_still_have_a_noon(of, state):
    sun = day(of, **ARCTIC)
    assert (sun.rises, sun.sets, sun.state) == ((), (), state)
    assert sun.noon.date() == of


def test_the_polar_day_begins_with_a_rise_and_no_set():
    states = {day(date(2026, 4, 15) + timedelta(days=n), **ARCTIC).state for n in range(10)}
    assert states == {"rises and sets", "rises", "up all day"}


def test_peaks_make_several_rises_and_sets_in_turns():
    sun = day(date(2026, 5, 10), **ALPS, horizon=PEAKS)
    assert len(sun.rises) == len(sun.sets) == 3
    mixed = sorted([*sun.rises, *sun.sets])
    assert mixed[::2] == list(sun.rises)
    assert mixed[1::2] == list(sun.sets)


def test_a_deep_valley_may_have_no_sun_at_all():
    sun = day(date(2026, 12, 21), **ALPS, horizon=TerrainHorizon.parse("0:30"))
    assert sun.state == "down all day"


def test_a_higher_skyline_rises_later_and_sets_earlier():
    low, high = (
        day(date(2026, 5, 10), **ALPS, horizon=TerrainHorizon.parse(text))
        for text in ("0:2", "0:10")
    )
    assert low.rises[0] < high.rises[0]
    assert high.sets[0] < low.sets[0]


def test_at_a_rise_the_upper_limb_is_on_the_skyline():
    moment = day(date(2026, 5, 10), **ALPS, horizon=PEAKS).rises[0]
    place = {"latitude_deg": 46.5, "longitude_deg": 8.0}
    azimuth, elevation = sun_position(moment, **place)
    assert elevation + 0.2667 == pytest.approx(float(PEAKS.elevation_deg(azimuth)), abs=1e-4)


def test_a_flat_rise_is_at_a_true_elevation_of_minus_0_8333_at_any_height():
    for elevation_m in (0.0, 3000.0):
        moment = day(date(2026, 5, 10), **ALPS, elevation_m=elevation_m).rises[0]
        _, true = sun_position(
            moment, latitude_deg=46.5, longitude_deg=8.0, elevation_m=elevation_m, refraction=False
        )
        assert float(true) == pytest.approx(-0.8333, abs=1e-4)


def test_no_profile_and_a_profile_of_zeros_differ_by_less_than_half_a_minute():
    none, zeros = (
        day(date(2026, 5, 10), **ALPS, horizon=TerrainHorizon.parse(text)) for text in ("", "0:0")
    )
    assert timedelta(0) < abs(none.rises[0] - zeros.rises[0]) < timedelta(seconds=30)


def test_a_skipped_date_has_no_day():
    with pytest.raises(ClockError, match="the calendar skips it"):
        day(date(2011, 12, 30), latitude_deg=-13.8, longitude_deg=-171.8,
            zone=ZoneInfo("Pacific/Apia"))  # fmt: skip


def test_a_date_on_the_far_side_of_the_world_holds_its_set_before_its_rise():
    sun = day(date(2026, 5, 10), latitude_deg=0.0, longitude_deg=180.0, zone=ZoneInfo("UTC"))
    assert sun.sets[0] < sun.rises[0]
    assert sun.noon.date() == date(2026, 5, 10)


def test_a_day_of_25_hours_is_searched_to_its_end():
    sun = day(date(2026, 10, 25), **ALPS)
    assert len(sun.rises) == len(sun.sets) == 1
    assert sun.rises[0].utcoffset() == timedelta(hours=1)


def test_searches_of_many_places_are_sorted_and_keep_their_rows():
    start = np.array(["2026-05-10"] * 3, dtype="datetime64[us]")
    found = crossings(
        start, start + np.timedelta64(2, "D"),
        latitude_deg=[46.5, 80.0, -46.5], longitude_deg=[8.0, 8.0, 8.0],
    )  # fmt: skip
    assert found.row.tolist() == [0] * 4 + [2] * 4
    assert found.up_at_start.tolist() == [False, True, False]
    for row in (0, 2):
        assert (np.diff(found.instant[found.row == row]) > np.timedelta64(0)).all()


def test_no_searches_find_nothing():
    found = crossings([], [], latitude_deg=[], longitude_deg=[])
    assert found.row.size == found.instant.size == 0


def test_a_sun_that_shows_for_a_minute_is_found():
    # The last sun before the polar night stands above the horizon ever more shortly: somewhere
    # in these latitudes it shows for less than the four minutes between samples.
    start = np.full(800, np.datetime64("2026-12-21", "us"))
    latitude = np.linspace(67.3, 67.5, 800)
    found = crossings(start, start + np.timedelta64(1, "D"), latitude_deg=latitude,
                      longitude_deg=0.0)  # fmt: skip
    length = [np.ptp(found.instant[found.row == row]) for row in np.unique(found.row)]
    assert min(length) < np.timedelta64(4, "m")
    # And none is missed farther south than the last of them.
    assert np.unique(found.row).tolist() == list(range(len(length)))


def test_the_upper_transit_has_no_hour_angle():
    noon = upper_transit(np.datetime64("2026-05-10T03:00"), longitude_deg=8.0)
    _, hour_angle = declination_and_hour_angle(noon, longitude_deg=8.0)
    assert float(hour_angle) == pytest.approx(0.0, abs=1e-5)


def test_the_clearance_of_many_skylines_is_that_of_each():
    profiles = [TerrainHorizon.parse(text) for text in ("", "0:0", "90:12 180:3", "")]
    times = np.datetime64("2026-05-10T06:00", "us") + np.arange(4)[:, None] * np.timedelta64(2, "h")
    times = np.concatenate([times, np.full((4, 1), np.datetime64("NaT"))], axis=1)
    latitude, height = np.array([46.5, -30.0, 60.0, 0.0]), np.array([0.0, 500.0, 2500.0, 9000.0])
    together = clearance_each_deg(
        times, np.array(profiles, dtype=object),
        latitude_deg=latitude, longitude_deg=np.full(4, 8.0), elevation_m=height,
    )  # fmt: skip
    for row, profile in enumerate(profiles):
        alone = clearance_deg(times[row], latitude_deg=latitude[row], longitude_deg=8.0,
                              elevation_m=height[row], horizon=profile)  # fmt: skip
        assert np.allclose(together[row], alone, atol=1e-12, equal_nan=True)


def test_noon_is_when_the_sun_is_due_south_in_utc_too():
    sun = day(date(2026, 5, 10), latitude_deg=46.5, longitude_deg=8.0, zone=ZoneInfo("UTC"))
    azimuth, _ = sun_position(sun.noon, latitude_deg=46.5, longitude_deg=8.0)
    assert float(azimuth) == pytest.approx(180.0, abs=1e-4)
    assert sun.noon.utcoffset() == timedelta(0)
    assert sun.noon.astimezone(UTC) == sun.noon
