"""What the sun's position promises beside its accuracy (for that see tests/reference)."""

from datetime import UTC, datetime, timedelta, timezone

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar.ephemeris import (
    LOWEST_REFRACTED_DEG,
    OutOfYearsError,
    declination_and_hour_angle,
    delta_t_s,
    refraction_deg,
    sun_position,
    utc_times,
)

PLACE = {"latitude_deg": 46.5, "longitude_deg": 8.0}
NOON = np.datetime64("2026-06-21T11:30", "us")


def test_arrays_of_times_and_places_broadcast():
    azimuth, elevation = sun_position(
        NOON + np.arange(3) * np.timedelta64(1, "h"),
        latitude_deg=np.array([[10.0], [20.0]]),
        longitude_deg=0.0,
    )
    assert azimuth.shape == elevation.shape == (2, 3)


def test_one_point_is_the_same_alone_and_among_many():
    times = NOON + np.arange(40_000) * np.timedelta64(15, "m")
    many = sun_position(times, **PLACE)
    for index in (0, 16_383, 16_384, 39_999):
        alone = sun_position(times[index], **PLACE)
        assert (float(alone[0]), float(alone[1])) == (many[0][index], many[1][index])


def test_aware_datetimes_of_any_offset_are_the_same_instant():
    moment = datetime(2026, 6, 21, 11, 30, tzinfo=UTC)
    elsewhere = moment.astimezone(timezone(timedelta(hours=-9, minutes=-30)))
    assert sun_position(elsewhere, **PLACE) == sun_position(NOON, **PLACE)
    assert utc_times([moment, elsewhere]).tolist() == [datetime(2026, 6, 21, 11, 30)] * 2


def test_a_naive_datetime_is_an_error():
    with pytest.raises(ValueError, match="naive"):
        sun_position(datetime(2026, 6, 21, 11, 30), **PLACE)


def test_what_is_no_time_is_an_error():
    with pytest.raises(ValueError, match="is not a time"):
        utc_times(["noon"])


def test_no_time_has_no_sun_and_leaves_the_others_alone():
    azimuth, elevation = sun_position(np.array([NOON, np.datetime64("NaT")]), **PLACE)
    assert np.isnan(azimuth).tolist() == np.isnan(elevation).tolist() == [False, True]
    declination, hour_angle = declination_and_hour_angle(
        np.array([np.datetime64("NaT"), NOON]), longitude_deg=8.0
    )
    assert np.isnan(declination).tolist() == np.isnan(hour_angle).tolist() == [True, False]


@pytest.mark.parametrize("year", ["1989-12-01", "2051-02-01", "0001-01-01", "9999-12-31"])
def test_years_without_a_sun_are_an_error_of_their_own(year):
    with pytest.raises(OutOfYearsError, match="1990 to 2050"):
        sun_position(np.datetime64(year, "us"), **PLACE)


@pytest.mark.parametrize("time", ["1990-01-01T00:00", "2050-12-31T23:59:59"])
def test_the_first_and_last_instant_have_a_sun(time):
    assert np.isfinite(sun_position(np.datetime64(time, "us"), **PLACE)).all()


@given(
    st.datetimes(datetime(1990, 1, 1), datetime(2050, 12, 31)),
    st.floats(-89, 89),
    st.floats(-180, 180),
)
def test_every_sun_stands_in_range(time, latitude, longitude):
    azimuth, elevation = sun_position(
        np.datetime64(time), latitude_deg=latitude, longitude_deg=longitude
    )
    assert 0.0 <= azimuth < 360.0
    assert -90.0 <= elevation <= 90.0


def test_the_date_line_has_one_sun():
    east = sun_position(NOON, latitude_deg=-17.0, longitude_deg=180.0)
    west = sun_position(NOON, latitude_deg=-17.0, longitude_deg=-180.0)
    assert np.allclose(east, west, atol=1e-9)


def test_a_day_passes_into_the_next_without_a_step():
    midnight = np.datetime64("2026-03-20", "us")
    before, after = (sun_position(midnight + np.timedelta64(ms, "ms"), **PLACE) for ms in (-1, 1))
    assert np.allclose(before, after, atol=2e-5)


@pytest.mark.parametrize("elevation_m", [-500.0, 0.0, 9000.0])
def test_refraction_has_no_step_where_it_begins(elevation_m):
    just_under, just_over, far_under = refraction_deg(
        [LOWEST_REFRACTED_DEG - 1e-6, LOWEST_REFRACTED_DEG + 1e-6, -40.0], elevation_m=elevation_m
    )
    assert just_under == pytest.approx(just_over, abs=1e-5)
    assert far_under == just_under


def test_refraction_lifts_less_the_higher_the_sun_and_the_place():
    at_sea = refraction_deg([0.0, 10.0, 45.0])
    assert (np.diff(at_sea) < 0).all()
    assert (refraction_deg([0.0, 10.0, 45.0], elevation_m=3000.0) < at_sea).all()


def test_without_refraction_the_true_elevation_is_given():
    _, true = sun_position(NOON, **PLACE, refraction=False)
    _, apparent = sun_position(NOON, **PLACE)
    assert apparent - true == pytest.approx(float(refraction_deg(true)), abs=1e-9)


def test_delta_t_is_level_after_its_last_observed_value():
    assert delta_t_s(np.datetime64("2050-01-01")) == delta_t_s(np.datetime64("2027-01-01"))


def test_the_hour_angle_is_negative_in_the_forenoon():
    _, hour_angle = declination_and_hour_angle(
        NOON + np.array([-3, 3]) * np.timedelta64(1, "h"), longitude_deg=8.0
    )
    assert (np.sign(hour_angle) == [-1, 1]).all()
    assert hour_angle[1] - hour_angle[0] == pytest.approx(90.0, abs=0.02)
