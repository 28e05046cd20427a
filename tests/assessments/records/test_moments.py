"""Sums give the statistics that the directions give."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.records.moments import Moments
from solar import circular

ANGLES = st.lists(st.floats(-180.0, 180.0), min_size=1, max_size=30)


@given(ANGLES, ANGLES)
def test_added_sums_agree_with_the_statistics_of_all_directions(first, second):
    found = (Moments.of(first) + Moments.of(second)).summary()
    expected = circular.summary([*first, *second])
    assert found.count == expected.count
    assert found.resultant_length == pytest.approx(expected.resultant_length, abs=1e-9)
    if expected.mean_deg is None or expected.resultant_length < 1e-3:
        return
    gap = (found.mean_deg - expected.mean_deg + 180.0) % 360.0 - 180.0
    assert gap == pytest.approx(0.0, abs=1e-6)
    assert found.std_deg == pytest.approx(expected.std_deg, abs=1e-5)
    if expected.half_width_deg is None or found.half_width_deg is None:
        return
    assert found.half_width_deg == pytest.approx(expected.half_width_deg, rel=1e-4, abs=1e-4)


def test_the_interval_is_that_of_the_directions_themselves():
    angles = np.random.default_rng(3).normal(4.0, 6.0, 40)
    found, expected = Moments.of(angles).summary(), circular.summary(angles)
    assert found.half_width_deg == pytest.approx(expected.half_width_deg, rel=1e-9)


def test_sums_go_through_a_list_unchanged():
    moments = Moments.of([1.0, 2.0, 350.0])
    assert Moments.from_list(moments.to_list()) == moments


def test_no_directions_have_no_statistics():
    assert Moments().summary() is None
