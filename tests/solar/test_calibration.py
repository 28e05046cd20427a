"""Repeated readings of a known direction."""

import statistics

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solar.calibration import FEWEST_READINGS, calibrate

# JCGM 100:2008 (GUM), table 1 in clause 4.4.3: twenty repeated observations, written there as
# temperatures; the clause gives their mean 100.14, the standard deviation of one 1.49 and that
# of the mean 0.33. The arithmetic is the same for angles.
GUM_TABLE_1 = [
    96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07,
    100.33, 100.42, 100.68, 100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72,
]  # fmt: skip


def found(readings, *, true_deg=100.0, true_u_deg=0.0, resolution_deg=0.01):
    return calibrate(
        readings, true_deg=true_deg, true_u_deg=true_u_deg, resolution_deg=resolution_deg
    )


@pytest.mark.reference
def test_scatter_and_mean_are_those_of_the_guide_to_uncertainty():
    made = found(GUM_TABLE_1)
    assert made.mean_deg == pytest.approx(100.14, abs=0.006)
    assert made.scatter_deg == pytest.approx(1.49, abs=0.005)
    assert made.offset_u_deg == pytest.approx(0.33, abs=0.005)


@pytest.mark.parametrize(
    ("true_deg", "offset_deg"), [(102.0, 2.0), (99.0, -1.0), (279.9, 179.9), (280.1, -179.9)]
)
def test_the_offset_is_what_has_to_be_added_to_the_readings(true_deg, offset_deg):
    made = found([99.0, 100.0, 101.0], true_deg=true_deg)
    assert made.offset_deg == pytest.approx(offset_deg)


def test_readings_on_both_sides_of_north_are_averaged_across_it():
    made = found([359.0, 1.0, 0.0], true_deg=3.0)
    assert made.mean_deg == pytest.approx(0.0, abs=1e-9)
    assert made.offset_deg == pytest.approx(3.0)


def test_readings_that_repeat_are_no_surer_than_the_card_they_were_read_from():
    # A step of 2 degrees spread evenly: 2 / sqrt(12) (JCGM 100:2008, F.2.2.1).
    assert found([90.0, 90.0, 90.0], resolution_deg=2.0).scatter_deg == pytest.approx(0.5774, 1e-3)


def test_the_reference_and_the_mean_count_in_a_corrected_reading():
    made = found([99.0, 100.0, 101.0], true_u_deg=0.6)
    assert made.offset_u_deg == pytest.approx((1.0 / 3.0 + 0.36) ** 0.5)
    assert made.corrected_u_deg == pytest.approx((1.0 + 1.0 / 3.0 + 0.36) ** 0.5)


def test_an_offset_that_is_not_taken_out_counts_as_uncertainty():
    made = found([99.0, 100.0, 101.0], true_deg=103.0)
    assert made.uncorrected_u_deg == pytest.approx((made.corrected_u_deg**2 + 9.0) ** 0.5)


def test_two_readings_are_too_few():
    with pytest.raises(ValueError, match="At least 3 readings"):
        found([10.0] * (FEWEST_READINGS - 1))


@pytest.mark.parametrize(("last", "is_taken"), [(30.0, True), (30.1, False), (350.0, True)])
def test_readings_too_far_apart_hold_a_slip(last, is_taken):
    readings = [10.0, 10.0, last]
    if is_taken:
        assert found(readings)
    else:
        with pytest.raises(ValueError, match="at least one is a slip"):
            found(readings)


@given(
    st.lists(st.floats(-9.0, 9.0), min_size=3, max_size=12),
    st.floats(0.0, 360.0),
    st.floats(0.0, 360.0),
)
def test_turning_mark_and_instrument_together_changes_nothing(differences, middle, turn):
    assume(statistics.pstdev(differences) > 1e-3)
    still = found([middle + d for d in differences], true_deg=middle)
    turned = found([(middle + d + turn) % 360.0 for d in differences], true_deg=middle + turn)
    assert turned.offset_deg == pytest.approx(still.offset_deg, abs=1e-6)
    assert turned.scatter_deg == pytest.approx(still.scatter_deg, abs=1e-6)
