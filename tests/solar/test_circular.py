"""Statistics of directions: where bearings meet north, where they cancel, how sure a mean is."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar import circular
from solar.bearings import wrap_deg

ANGLES = st.lists(st.floats(-180.0, 180.0), min_size=1, max_size=30)


def test_bearings_on_both_sides_of_north_average_to_north():
    assert circular.summary([350.0, 10.0]).mean_deg == pytest.approx(0.0, abs=1e-9)


def test_opposite_directions_have_no_mean():
    summary = circular.summary([0.0, 180.0])
    assert (summary.mean_deg, summary.std_deg, summary.half_width_deg) == (None, None, None)
    assert summary.resultant_length == 0.0


def test_one_direction_is_its_own_mean_without_spread():
    summary = circular.summary([-12.5])
    assert summary.mean_deg == pytest.approx(-12.5)
    assert summary.std_deg == pytest.approx(0.0, abs=1e-6)
    assert summary.half_width_deg is None


def test_no_direction_at_all_is_an_error():
    with pytest.raises(ValueError, match="At least one"):
        circular.summary([])


def test_a_direction_that_is_no_number_is_an_error():
    with pytest.raises(ValueError, match="finite"):
        circular.summary([1.0, np.nan])


@pytest.mark.parametrize(("count", "has_interval"), [(4, False), (5, True)])
def test_five_directions_are_the_fewest_with_an_interval(count, has_interval):
    summary = circular.summary(np.linspace(-3.0, 3.0, count))
    assert (summary.half_width_deg is not None) is has_interval


def test_scattered_all_round_there_is_no_interval():
    assert circular.summary([0.0, 75.0, 140.0, 210.0, 290.0]).half_width_deg is None


def test_a_pull_is_a_mean_whose_interval_leaves_zero_out():
    assert circular.summary([6.0, 7.0, 8.0, 7.5, 6.5]).is_pull
    assert not circular.summary([-6.0, 7.0, 1.0, -2.5, 3.5]).is_pull


@given(ANGLES, st.floats(-360.0, 360.0))
def test_turning_all_directions_turns_their_mean(angles, turn):
    before = circular.summary(angles)
    if before.mean_deg is None or before.resultant_length < 1e-3:
        return
    after = circular.summary(np.array(angles) + turn)
    assert wrap_deg(after.mean_deg - before.mean_deg - turn) == pytest.approx(0.0, abs=1e-6)
    assert after.resultant_length == pytest.approx(before.resultant_length, abs=1e-9)


@given(ANGLES)
def test_the_resultant_length_lies_between_nothing_and_one(angles):
    assert 0.0 <= circular.summary(angles).resultant_length <= 1.0


def test_a_steady_improvement_is_a_clear_trend():
    trend = circular.trend(range(8), [16.0, 14.1, 12.0, 9.9, 8.0, 6.2, 4.0, 2.0])
    assert trend.slope == pytest.approx(-2.0, abs=0.05)
    assert trend.is_clear


def test_errors_on_both_sides_of_180_lie_together_in_a_trend():
    trend = circular.trend(range(6), [178.0, 179.0, 180.0, -179.0, -178.0, -177.0])
    assert trend.slope == pytest.approx(1.0)


def test_scatter_alone_is_no_clear_trend():
    assert not circular.trend(range(8), [3.0, -4.0, 5.0, -3.0, 4.0, -5.0, 2.0, -2.0]).is_clear


@pytest.mark.parametrize("over", [[1.0] * 6, [1.0, 2.0, 3.0, 4.0]])
def test_too_little_to_go_on_gives_no_trend(over):
    assert circular.trend(over, np.arange(len(over), dtype=float)) is None


def test_a_trend_needs_as_many_positions_as_errors():
    with pytest.raises(ValueError, match="As many"):
        circular.trend([1.0, 2.0], [1.0])


@pytest.mark.parametrize(("error", "swapped"), [(150.0, True), (149.9, False), (-151.0, True)])
def test_a_line_laid_end_for_end_is_told_apart(error, swapped):
    assert bool(circular.is_swapped(error)) is swapped
