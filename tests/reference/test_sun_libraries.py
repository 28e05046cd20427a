"""Places of the sun against other people's implementations, over the whole range of years."""

import erfa
import numpy as np
import pytest
from astropy.time import Time
from hypothesis import given
from hypothesis import strategies as st
from skyfield.api import load

from solar.ephemeris import delta_t_s, sun_position
from tests.reference.libraries import astropy_sun, pvlib_sun, random_instants, random_places

pytestmark = pytest.mark.reference

TOLERANCE_DEG = 0.0005
SAME_ALGORITHM_DEG = 0.00002


def turn_on_the_sky(azimuth, other_azimuth, elevation):
    """The difference in azimuth as it is seen: it means nothing at the zenith."""
    difference = (azimuth - other_azimuth + 180.0) % 360.0 - 180.0
    return np.abs(difference) * np.cos(np.radians(elevation))


def test_agrees_with_pvlib_at_random_places_and_times():
    # pvlib.spa, the NREL algorithm (Reda & Andreas 2004), with the same Delta T: the promise is
    # 0.0005 degrees, the interpolation keeps far more.
    generator = np.random.default_rng(1990)
    times = random_instants(generator, 20_000)
    latitude, longitude, height = random_places(generator, 20_000)
    azimuth, elevation = sun_position(
        times,
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=height,
        refraction=False,
    )
    other_azimuth, other_elevation = pvlib_sun(times, latitude, longitude, height, delta_t_s(times))
    assert np.abs(elevation - other_elevation).max() < SAME_ALGORITHM_DEG
    assert turn_on_the_sky(azimuth, other_azimuth, elevation).max() < SAME_ALGORITHM_DEG


def test_agrees_with_astropy_at_random_places_and_times():
    # astropy: ERFA's Earth ephemeris and IAU 2006/2000A, nothing of the NREL algorithm in it.
    generator = np.random.default_rng(2050)
    times = random_instants(generator, 3_000)
    latitude, longitude, height = random_places(generator, 3_000)
    azimuth, elevation = sun_position(
        times,
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=height,
        refraction=False,
    )
    other_azimuth, other_elevation = astropy_sun(times, latitude, longitude, height)
    assert np.abs(elevation - other_elevation).max() < TOLERANCE_DEG
    assert turn_on_the_sky(azimuth, other_azimuth, elevation).max() < TOLERANCE_DEG


@given(
    seconds=st.integers(631_152_000, 2_556_143_999),
    latitude=st.floats(-90, 90),
    longitude=st.floats(-180, 180),
    elevation=st.floats(-500, 9000),
)
def test_agrees_with_pvlib_at_the_odd_places_hypothesis_thinks_of(
    seconds, latitude, longitude, elevation
):
    time = np.array([seconds], dtype="datetime64[s]")
    azimuth, height = sun_position(
        time,
        latitude_deg=latitude,
        longitude_deg=longitude,
        elevation_m=elevation,
        refraction=False,
    )
    other_azimuth, other_height = pvlib_sun(time, latitude, longitude, elevation, delta_t_s(time))
    assert abs(height[0] - other_height[0]) < SAME_ALGORITHM_DEG
    assert turn_on_the_sky(azimuth, other_azimuth, height)[0] < SAME_ALGORITHM_DEG


def test_delta_t_of_the_past_agrees_with_astropys_tables_of_the_earths_rotation():
    # TT - UT1 from the IERS Bulletin B values that astropy ships.
    moments = Time(np.arange(1990, 2024, 0.37), format="jyear", scale="utc")
    expected = (moments.tt.jd1 - moments.ut1.jd1 + moments.tt.jd2 - moments.ut1.jd2) * 86_400.0
    assert np.abs(delta_t_s(moments.datetime64) - expected).max() < 0.5


def test_delta_t_of_the_past_agrees_with_skyfields_table():
    # Skyfield's built-in table: IERS observations to the date of the release.
    timescale = load.timescale(builtin=True)
    years = np.arange(1990, 2024, 0.41)
    moments = timescale.J(years)
    days = (moments.ut1 - 2440587.5) * 86_400e6
    ours = delta_t_s(days.astype("int64").astype("datetime64[us]"))
    assert np.abs(ours - moments.delta_t).max() < 0.5


def test_delta_t_stays_within_ten_seconds_of_the_forecasts_to_2050():
    # Skyfield's long-term curve (Morrison, Stephenson, Hohenkerk and Zawilski); ten seconds
    # move the sun by 0.0001 degrees.
    timescale = load.timescale(builtin=True)
    moments = timescale.J(np.arange(2026, 2051))
    days = (moments.ut1 - 2440587.5) * 86_400e6
    ours = delta_t_s(days.astype("int64").astype("datetime64[us]"))
    assert np.abs(ours - moments.delta_t).max() < 10.0


def test_refraction_at_a_few_elevations_agrees_with_erfas_constants():
    # ERFA refco: A tan z + B tan^3 z for visible light, valid to about 80 degrees of zenith
    # distance; the two formulas differ by up to ten arc seconds.
    a, b = erfa.refco(1013.25, 15.0, 0.0, 0.55)
    times = np.arange(
        "2024-06-01T04", "2024-06-01T20", np.timedelta64(10, "m"), dtype="datetime64[m]"
    )
    place = {"latitude_deg": 48.0, "longitude_deg": 10.0}
    _, true = sun_position(times, **place, refraction=False)
    _, apparent = sun_position(times, **place)
    high = apparent > 12.0
    tangent = np.tan(np.radians(90.0 - apparent[high]))
    expected = np.degrees(a * tangent + b * tangent**3)
    assert high.sum() > 50
    assert np.abs(apparent[high] - true[high] - expected).max() < 0.003
