import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar.bearings import bearing_deg, compass_point, difference_deg, wrap_deg

ANGLES = st.floats(-1e6, 1e6)


@pytest.mark.parametrize(
    ("angle", "wrapped"),
    [(0, 0), (180, 180), (-180, 180), (181, -179), (-179, -179), (540, 180), (360, 0), (-359, 1)],
)
def test_wrapped_angles_lie_above_minus_180_and_up_to_180(angle, wrapped):
    assert float(wrap_deg(angle)) == wrapped


@pytest.mark.parametrize(
    ("angle", "bearing"), [(0, 0), (360, 0), (-1, 359), (719, 359), (-360, 0), (-1e-20, 0)]
)
def test_bearings_lie_from_0_to_just_under_360(angle, bearing):
    assert float(bearing_deg(angle)) == bearing


@given(ANGLES)
def test_wrapping_changes_an_angle_by_whole_turns_only(angle):
    for turned in (float(wrap_deg(angle)), float(bearing_deg(angle))):
        turns = (angle - turned) / 360.0
        assert turns == pytest.approx(round(turns), abs=1e-9)


@given(ANGLES)
def test_no_angle_leaves_its_range(angle):
    assert -180.0 < wrap_deg(angle) <= 180.0
    assert 0.0 <= bearing_deg(angle) < 360.0


@pytest.mark.parametrize(("to", "of", "turn"), [(10, 350, 20), (350, 10, -20), (180, 0, 180)])
def test_a_difference_is_positive_to_the_right_across_north(to, of, turn):
    assert float(difference_deg(to, of)) == turn


@given(ANGLES, ANGLES)
def test_going_there_and_back_is_no_turn(to, of):
    assert float(wrap_deg(difference_deg(to, of) + difference_deg(of, to))) == pytest.approx(
        0.0, abs=1e-6
    )


def test_arrays_keep_their_shape_and_nan_stays_nan():
    angles = np.array([[370.0, np.nan], [-190.0, 90.0]])
    assert np.array_equal(wrap_deg(angles), [[10.0, np.nan], [170.0, 90.0]], equal_nan=True)
    assert np.array_equal(bearing_deg(angles), [[10.0, np.nan], [170.0, 90.0]], equal_nan=True)


@pytest.mark.parametrize(
    ("angle", "word"),
    [(0, "N"), (11.24, "N"), (11.26, "NNE"), (90, "E"), (225, "SW"), (348.7, "NNW"), (348.8, "N"),
     (-90, "W")],
)  # fmt: skip
def test_the_nearest_of_sixteen_points_is_named(angle, word):
    assert compass_point(angle) == word
