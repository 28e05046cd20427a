"""Magnetic declination against NOAA's test values and pygeomag; grid north."""

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic
from pygeomag import GeoMag
from pyproj import Proj

from solar.declination import declination, grid_convergence_deg
from tests.reference.libraries import random_instants, random_places

pytestmark = pytest.mark.reference


def instant(decimal_year):
    year = int(decimal_year)
    start, end = np.datetime64(f"{year}", "us"), np.datetime64(f"{year + 1}", "us")
    return start + (end - start) // 1_000_000 * round((decimal_year - year) * 1_000_000)


@pytest.mark.parametrize(
    ("year", "height_km", "latitude_deg", "longitude_deg", "expected_deg"),
    [
        (2025.0, 65, 43, 93, 0.50),
        (2025.0, 51, -33, 109, -5.49),
        (2025.5, 8, -52, -75, 14.91),
        (2026.0, 34, -19, 43, -14.98),
        (2027.0, 61, 59, -77, -16.48),
        (2028.5, 11, 34, 0, 1.57),
    ],
)
def test_wmm2025_test_values(year, height_km, latitude_deg, longitude_deg, expected_deg):
    # WMM2025 test values, NOAA National Centers for Environmental Information, two decimals.
    field = declination(
        np.array([instant(year)]),
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=height_km * 1000.0,
    )
    assert field.declination_deg[0] == pytest.approx(expected_deg, abs=0.0051)


@pytest.mark.parametrize(
    ("epoch", "file"), [(2010, "2010"), (2015, "2015v2"), (2020, "2020"), (2025, "2025")]
)
def test_agrees_with_pygeomags_scalar_calls_at_random_places(epoch, file):
    # pygeomag, a port of NOAA's program; the model of 2015 is its out-of-cycle second release.
    generator = np.random.default_rng(epoch)
    times = random_instants(generator, 200, f"{epoch}-01-01", f"{epoch + 5}-01-01")
    latitude, longitude, height = random_places(generator, 200)
    field = declination(times, latitude_deg=latitude, longitude_deg=longitude, elevation_m=height)
    model = GeoMag(coefficients_file=f"wmm/WMM_{file}.COF")
    for i in range(200):
        year = times[i].astype("datetime64[Y]")
        start, end = year.astype("datetime64[us]"), (year + 1).astype("datetime64[us]")
        decimal = int(year.astype(int)) + 1970 + (times[i] - start) / (end - start)
        result = model.calculate(latitude[i], longitude[i], height[i] / 1000.0, decimal)
        # East and west are nothing near the magnetic poles: compared as a part of the field.
        miss = np.radians((field.declination_deg[i] - result.d + 180.0) % 360.0 - 180.0)
        assert abs(miss) * result.h < 0.01
        assert field.horizontal_nt[i] == pytest.approx(result.h, abs=0.01)


@pytest.mark.parametrize(
    ("date", "a", "b"),
    [("2027-05-01", 0.26, 5417), ("2022-05-01", 0.26, 5625), ("2017-05-01", 0.23, 5430)],
)
def test_uncertainty_is_the_models_own(date, a, b):
    # The error models of WMM2025, WMM2020 and WMM2015 (NOAA NCEI): sqrt(a^2 + (b/H)^2).
    field = declination(
        np.array([date], dtype="datetime64[us]"), latitude_deg=64.0, longitude_deg=-150.0
    )
    expected = np.hypot(a, b / field.horizontal_nt[0])
    assert field.uncertainty_deg[0] == pytest.approx(expected, abs=1e-9)


def test_zones_where_a_compass_is_unusable_or_needs_caution():
    # WMM2025 report (NOAA NCEI): below 2000 nT unusable, 2000 to 6000 caution. Northern Canada
    # and the coast of Antarctica south of Australia hold the magnetic poles; Europe is clear.
    field = declination(
        np.array(["2026-01-01"] * 4, dtype="datetime64[us]"),
        latitude_deg=np.array([85.8, -64.1, 75.0, 47.0]),
        longitude_deg=np.array([139.0, 135.6, -95.0, 8.0]),
    )
    assert (field.horizontal_nt[:2] < 2000).all()
    assert 2000 < field.horizontal_nt[2] < 6000
    assert field.horizontal_nt[3] > 6000


def test_no_model_holds_2009_nor_2030_and_2012_has_no_error_constants():
    field = declination(
        np.array(["2009-12-31", "2030-01-01", "2012-01-01"], dtype="datetime64[us]"),
        latitude_deg=47.0,
        longitude_deg=8.0,
    )
    assert np.isnan(field.declination_deg[:2]).all()
    assert np.isnan(field.uncertainty_deg).all()
    assert abs(field.declination_deg[2]) < 5


def test_grid_convergence_agrees_with_a_step_along_the_grid():
    # GeographicLib's manual puts 33.3 N 44.4 E at 444140.54 E 3684706.36 N in zone 38 north.
    # Snyder, Map Projections (USGS PP 1395): convergence = atan(tan(dlon) sin(lat)), west of
    # the central meridian (45 E) negative.
    expected = np.degrees(np.arctan(np.tan(np.radians(-0.6)) * np.sin(np.radians(33.3))))
    assert grid_convergence_deg(latitude_deg=33.3, longitude_deg=44.4) == pytest.approx(
        expected, abs=0.001
    )


@pytest.mark.parametrize(
    ("epoch", "file"), [(2010, "2010"), (2015, "2015v2"), (2020, "2020"), (2025, "2025")]
)
def test_yearly_change_is_the_difference_between_pygeomags_declinations(epoch, file):
    # The field is linear in time, so the slope of the angle in the middle of a short span is the
    # difference over it; within 75 degrees of the equator, where the poles do not bend it.
    generator = np.random.default_rng(epoch + 1)
    times = random_instants(generator, 60, f"{epoch + 1}-01-01", f"{epoch + 4}-01-01")
    latitude, longitude, height = random_places(generator, 60)
    latitude = latitude * 75.0 / 90.0
    field = declination(times, latitude_deg=latitude, longitude_deg=longitude, elevation_m=height)
    model = GeoMag(coefficients_file=f"wmm/WMM_{file}.COF")
    for i in range(60):
        year = times[i].astype("datetime64[Y]")
        start, end = year.astype("datetime64[us]"), (year + 1).astype("datetime64[us]")
        decimal = int(year.astype(int)) + 1970 + (times[i] - start) / (end - start)
        place = latitude[i], longitude[i], height[i] / 1000.0
        before, after = (model.calculate(*place, decimal + shift).d for shift in (-0.05, 0.05))
        expected = ((after - before + 180.0) % 360.0 - 180.0) / 0.1
        assert field.yearly_change_deg[i] == pytest.approx(expected, abs=2e-4)


def test_yearly_change_is_nothing_where_no_model_holds_the_date():
    field = declination(
        np.array(["2030-01-01"], dtype="datetime64[us]"), latitude_deg=47.0, longitude_deg=8.0
    )
    assert np.isnan(field.yearly_change_deg[0])


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "central_deg"),
    [
        (60.39, 5.32, 9.0),  # Bergen: zone 32, widened to the west
        (78.22, 15.65, 15.0),  # Longyearbyen: zone 33, widened to both sides
        (-45.03, 169.29, 171.0),
        (0.0, 44.4, 45.0),
    ],
)
def test_grid_convergence_of_widened_zones_and_of_the_south(
    latitude_deg, longitude_deg, central_deg
):
    # Snyder, USGS PP 1395: gamma = atan(tan(dlon) sin(lat)) on the sphere; the ellipsoid moves
    # it by a few thousandths of a degree within a zone.
    turn = np.tan(np.radians(longitude_deg - central_deg)) * np.sin(np.radians(latitude_deg))
    found = grid_convergence_deg(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    assert found == pytest.approx(np.degrees(np.arctan(turn)), abs=0.003)


def test_grid_convergence_is_the_turn_of_a_step_along_the_grid():
    # Independently of PROJ's own factor: a kilometre along the grid's northing (pyproj's UTM),
    # its azimuth by geographiclib's geodesic.
    grid = Proj(proj="utm", zone=32, ellps="WGS84")
    east, north = grid(8.18, 46.72)
    (lon1, lat1), (lon2, lat2) = (grid(east, north + step, inverse=True) for step in (-500, 500))
    azimuth = Geodesic.WGS84.Inverse(lat1, lon1, lat2, lon2)["azi1"]
    found = grid_convergence_deg(latitude_deg=46.72, longitude_deg=8.18)
    assert found == pytest.approx(azimuth, abs=1e-4)
    assert found < 0.0  # west of the central meridian in the north: grid north lies to the left
