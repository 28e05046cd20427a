import numpy as np
import pytest

from solar.columns import METHODS
from solar.methods import MODULES
from solar.methods.base import (
    LEAST_ELEVATION_DEG,
    bearing_of,
    culminates_south,
    scatter_of_two,
    unit,
)


def test_every_method_that_can_be_read_can_be_laid():
    assert set(MODULES) == set(METHODS)


@pytest.mark.parametrize(
    ("bearing", "vector"), [(0, (0, 1)), (90, (1, 0)), (180, (0, -1)), (270, (-1, 0))]
)
def test_the_unit_vector_of_a_bearing_is_its_sine_and_cosine(bearing, vector):
    assert unit(np.array(float(bearing))) == pytest.approx(np.array(vector, dtype=float), abs=1e-12)


def test_the_bearing_of_a_vector_is_the_way_back():
    bearings = np.array([1.0, 91.0, 179.0])
    assert np.allclose(bearing_of(5.0 * unit(bearings)), bearings)


def test_the_scatter_of_two_points_is_root_two_of_the_mark_over_the_distance():
    points = np.array([[[0.0, 0.0], [3.0, 4.0]]])
    assert scatter_of_two(points, np.array([0.01])) == pytest.approx(
        np.degrees(np.sqrt(2.0) * 0.01 / 5.0)
    )


def test_two_points_on_one_spot_scatter_without_end():
    assert np.isinf(scatter_of_two(np.zeros((1, 2, 2)), np.array([0.005])))


def test_twenty_lengths_of_shadow_are_an_elevation_of_2_9_degrees():
    assert 1.0 / np.tan(np.radians(LEAST_ELEVATION_DEG)) == pytest.approx(20.0)


def test_the_sun_culminates_south_wherever_its_declination_is_the_smaller():
    assert culminates_south(np.array([10.0, 10.0, -10.0]), np.array([5.0, 15.0, 5.0])).tolist() == [
        True, False, False,
    ]  # fmt: skip
