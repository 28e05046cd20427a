"""Circular statistics against SciPy, a published data set and simulation."""

import numpy as np
import pytest
from scipy import stats

from solar import circular

pytestmark = pytest.mark.reference


def test_mean_and_deviation_of_six_bearings_about_north():
    # scipy.stats.circmean / circstd, SciPy reference guide; figures as printed by SciPy 1.17.
    summary = circular.summary([355.0, 5.0, 2.0, 359.0, 10.0, 350.0])
    assert summary.mean_deg == pytest.approx(0.167690, abs=1e-6)
    assert summary.std_deg == pytest.approx(6.520702, abs=1e-6)


def test_roulette_data_of_mardia_and_jupp():
    # Mardia & Jupp, Directional Statistics (2000), roulette wheel data; from memory.
    summary = circular.summary([43.0, 45.0, 52.0, 61.0, 75.0, 88.0, 88.0, 279.0, 357.0])
    assert summary.mean_deg == pytest.approx(51.05, abs=0.05)
    assert summary.resultant_length == pytest.approx(0.711, abs=0.0005)


@pytest.mark.parametrize("seed", range(5))
def test_scipy_agrees_on_random_directions(seed):
    angles = np.random.default_rng(seed).uniform(0.0, 360.0, 40)
    summary = circular.summary(angles)
    assert summary.mean_deg % 360.0 == pytest.approx(stats.circmean(angles, high=360.0))
    assert summary.std_deg == pytest.approx(stats.circstd(angles, high=360.0))


@pytest.mark.parametrize(("count", "concentration"), [(5, 30.0), (8, 200.0), (30, 5.0)])
def test_the_interval_holds_the_true_mean_about_as_often_as_it_says(count, concentration):
    # Simulation from von Mises distributions of known mean: 95 % intervals, 600 draws each.
    rng = np.random.default_rng(count)
    hits = 0
    for _ in range(600):
        summary = circular.summary(np.degrees(rng.vonmises(0.1, concentration, count)))
        half = summary.half_width_deg
        hits += half is not None and abs(summary.mean_deg - np.degrees(0.1)) <= half
    assert 0.91 <= hits / 600 <= 0.985
