"""Conversions of positions against published examples and a second library."""

import math

import pytest
from pyproj import CRS, Transformer

from coursework.coordinates import mgrs_text, parse_position, utm_text
from solar import utm

pytestmark = pytest.mark.reference


def test_geographiclibs_example_in_its_own_writing():
    # GeographicLib's manual (GeoConvert): 33.3 N 44.4 E = 38N 444140.54 E 3684706.36 N.
    assert parse_position("38N 444140.54 E 3684706.36 N") == pytest.approx((33.3, 44.4), abs=1e-7)
    assert utm_text((33.3, 44.4)) == "38 north 444141 E 3684706 N"
    assert mgrs_text((33.3, 44.4)) == "38S MB 44140 84706"


def test_the_middle_of_a_square_in_geographiclibs_manual():
    # GeoConvert's manual page (from memory): 38SMB4488 is 33.33424 44.40363, the middle of its
    # square kilometre, at 38N 444500 3688500.
    assert parse_position("38n 444500 3688500") == pytest.approx((33.33424, 44.40363), abs=5e-6)
    assert parse_position("38SMB445885") == pytest.approx(
        parse_position("38n 444550 3688550"), abs=1e-9
    )


def test_the_washington_monument_by_the_national_grid():
    # FGDC-STD-011-2001, United States National Grid (the same figures as MGRS), from memory:
    # the Washington Monument is 18S UJ 2348 0647, that is within 10 m of 38.88948 N 77.03524 W.
    assert mgrs_text((38.88948, -77.03524)).startswith("18S UJ 2348")
    assert parse_position("18SUJ23480647") == pytest.approx((38.8895, -77.0352), abs=1e-4)


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone", "band"),
    [
        # DMA TM 8358.1, chapter 3 (from memory): Norway's 32V from 3 E, Svalbard's four zones.
        (60.39, 5.32, 32, "V"),  # Bergen
        (60.0, 2.99, 31, "V"),
        (64.0, 5.0, 31, "W"),
        (55.99, 5.0, 31, "U"),
        (78.22, 15.65, 33, "X"),  # Longyearbyen
        (78.0, 8.99, 31, "X"),
        (78.0, 9.0, 33, "X"),
        (78.0, 21.0, 35, "X"),
        (78.0, 33.0, 37, "X"),
        (78.0, 42.0, 38, "X"),
        (71.99, 15.65, 33, "W"),
        (71.99, 10.0, 32, "W"),
        # The edges of the grid, the equator and the date line.
        (84.0, 10.0, 33, "X"),
        (-80.0, 10.0, 32, "C"),
        (0.0, 0.0, 31, "N"),
        (-1e-9, 0.0, 31, "M"),
        (0.0, 180.0, 1, "N"),
        (0.0, -180.0, 1, "N"),
        (0.0, 179.999, 60, "N"),
    ],
)
def test_zones_and_bands(latitude_deg, longitude_deg, zone, band):
    assert utm.zone(latitude_deg=latitude_deg, longitude_deg=longitude_deg) == zone
    assert utm.band(latitude_deg) == band
    # NGA's routines agree.
    assert mgrs_text((latitude_deg, longitude_deg)).startswith(f"{zone}{band} ")


@pytest.mark.parametrize(
    ("place", "epsg"),
    [
        ((46.72, 8.18), 32632),
        ((60.39, 5.32), 32632),
        ((78.22, 15.65), 32633),
        ((-33.45, -70.67), 32719),
        ((-45.0318, 169.2905), 32759),
        ((0.0, -78.5), 32617),
        ((-0.5, 179.99), 32760),
        ((12.0, -179.99), 32601),
    ],
)
def test_the_grid_is_the_one_of_the_epsg_register(place, epsg):
    # EPSG 326zz and 327zz, WGS 84 / UTM zone zz north and south.
    to_grid = Transformer.from_crs(CRS.from_epsg(4326), CRS.from_epsg(epsg))
    easting_m, northing_m = to_grid.transform(*place)
    side = "north" if epsg < 32700 else "south"
    assert utm_text(place) == f"{epsg % 100} {side} {easting_m:.0f} E {northing_m:.0f} N"


@pytest.mark.parametrize("latitude_deg", [-80.0001, 84.0001, 90.0, -90.0])
def test_beyond_the_grid_there_is_no_zone(latitude_deg):
    with pytest.raises(ValueError, match="84 degrees north"):
        utm.zone(latitude_deg=latitude_deg, longitude_deg=0.0)


def test_a_central_meridian_is_in_the_middle_of_its_zone():
    assert [utm.central_meridian_deg(number) for number in (1, 31, 60)] == [-177.0, 3.0, 177.0]
    assert math.isclose(utm.central_meridian_deg(38), 45.0)
