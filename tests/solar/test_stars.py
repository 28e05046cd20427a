"""Directions of stars: shapes, the sky's turning, and lines extended on it."""

import numpy as np
import pytest

from solar import stars

EVENING = np.datetime64("2026-03-10T20:00", "us")
PLACE = {"latitude_deg": 45.0, "longitude_deg": 7.0}


def polaris(times, **place):
    return stars.horizontal(stars.apparent_direction(stars.POLARIS, times), times, **PLACE | place)


def test_directions_are_unit_vectors_in_the_shape_of_the_times():
    times = EVENING + np.arange(6).reshape(2, 3) * np.timedelta64(1, "D")
    direction = stars.apparent_direction(stars.ACRUX, times)
    assert direction.shape == (2, 3, 3)
    assert np.linalg.norm(direction, axis=-1) == pytest.approx(1.0)


def test_the_pole_star_is_as_high_as_the_latitude_says():
    for latitude in (10.0, 45.0, 70.0):
        _azimuth, elevation = polaris(np.array([EVENING]), latitude_deg=latitude)
        assert elevation[0] == pytest.approx(latitude, abs=0.75)


def test_over_a_day_the_pole_star_swings_to_both_sides_of_north():
    times = EVENING + np.arange(24) * np.timedelta64(1, "h")
    azimuth, _elevation = polaris(times)
    swing = (azimuth + 180.0) % 360.0 - 180.0
    # 0.63 degrees from the pole in 2026, as wide as that over the cosine of the latitude.
    assert swing.max() == pytest.approx(0.63 / np.cos(np.radians(45.0)), abs=0.03)
    assert swing.min() == pytest.approx(-swing.max(), abs=0.02)


def test_a_sidereal_day_later_a_star_stands_where_it_stood():
    later = EVENING + np.timedelta64(86_164, "s")
    azimuth, elevation = polaris(np.array([EVENING, later]))
    assert azimuth[1] == pytest.approx(azimuth[0], abs=0.002)
    assert elevation[1] == pytest.approx(elevation[0], abs=0.002)


def test_azimuths_are_from_0_to_360():
    times = EVENING + np.arange(48) * np.timedelta64(30, "m")
    azimuth, _elevation = polaris(times)
    assert ((azimuth >= 0.0) & (azimuth < 360.0)).all()


def test_a_line_is_extended_by_its_own_length():
    start = np.array([[1.0, 0.0, 0.0]])
    angle = np.radians(10.0)
    through = np.array([[np.cos(angle), np.sin(angle), 0.0]])
    point = stars.extended(start, through, times_its_length=2.0)[0]
    assert np.degrees(np.arctan2(point[1], point[0])) == pytest.approx(30.0)
    assert point[2] == pytest.approx(0.0)
