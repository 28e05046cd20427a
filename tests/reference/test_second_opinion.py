"""solar.scoring against an independent reading of the definitions, all methods and checks."""

from functools import cache

import numpy as np
import pytest

from solar.scoring import score
from tests.reference.mixed_rows import CHECKS, COLUMNS, METHODS, mixed_rows
from tests.reference.second_opinion import Attempt, OpenError, RefusedError

pytestmark = pytest.mark.reference

NUMBERS = (
    "laid_true_deg",
    "error_deg",
    "method_error_deg",
    "own_error_deg",
    "counting_error_deg",
    "correction_error_deg",
    "marking_scatter_deg",
    "expanded_uncertainty_deg",
    "sun_azimuth_deg",
    "sun_elevation_deg",
    "declination_used_deg",
)
ROWS = 800
# Bearings are compared around the circle; the two suns differ by some 0.00001 degrees, which
# short chords between marks amplify about twentyfold.
TOLERANCE_DEG = 0.001


@cache
def both():
    rows, opinions = [], []
    for row in mixed_rows(ROWS, seed=20_260_321, mistakes=0.0):
        try:
            attempt = Attempt(row)
            opinions.append((attempt, attempt.score()))
        except RefusedError as refusal:
            opinions.append((None, refusal))
        except OpenError:
            continue
        rows.append(row)
    scores = score({column: [row[column] for row in rows] for column in COLUMNS})
    return rows, scores.columns, opinions


def test_the_definitions_leave_hardly_a_row_open():
    assert len(both()[0]) >= ROWS - 3


def test_every_method_and_every_check_is_scored_by_both_many_times():
    rows, _, opinions = both()
    for method in METHODS:
        for check in CHECKS:
            scored = [
                row
                for row, (attempt, _) in zip(rows, opinions, strict=True)
                if attempt and row["method"] == method and row["check"] == check
            ]
            assert len(scored) >= 10, (method, check)


def test_the_same_rows_are_refused():
    rows, columns, opinions = both()
    different = [
        (row["attempt"], row["method"], row["check"], problem, repr(opinion))
        for row, problem, (attempt, opinion) in zip(rows, columns["problem"], opinions, strict=True)
        if bool(problem) != (attempt is None)
    ]
    assert different == []


def test_a_refused_row_has_no_number_and_no_verdict():
    _, columns, _ = both()
    refused = np.array([bool(problem) for problem in columns["problem"]])
    assert 20 < refused.sum() < ROWS / 4
    for column in NUMBERS:
        assert np.isnan(columns[column][refused]).all(), column
    assert {verdict for verdict, no in zip(columns["verdict"], refused, strict=True) if no} == {""}


@pytest.mark.parametrize("column", NUMBERS)
def test_the_numbers_agree(column):
    rows, columns, opinions = both()
    different = []
    for row, value, (attempt, opinion) in zip(rows, columns[column], opinions, strict=True):
        if attempt is None:
            continue
        expected = opinion[column]
        if expected is None or np.isnan(value):
            agree = expected is None and np.isnan(value)
        else:
            agree = abs((value - expected + 180.0) % 360.0 - 180.0) < TOLERANCE_DEG
        if not agree:
            different.append((row["attempt"], row["method"], row["check"], value, expected))
    assert different == []


def test_the_verdicts_agree():
    rows, columns, opinions = both()
    different = [
        (row["attempt"], verdict, opinion["verdict"])
        for row, verdict, (attempt, opinion) in zip(rows, columns["verdict"], opinions, strict=True)
        # Within a hundredth of a degree of the edge either may be right.
        if attempt and verdict != opinion["verdict"] and attempt.distance_to_edge > 0.01
    ]
    assert different == []
    assert set(columns["verdict"]) == {"", "within", "outside", "too close to call"}


def test_a_row_scores_alike_alone_and_in_company():
    rows, columns, _ = both()
    for i in range(0, len(rows), 40):
        alone = score({column: [rows[i][column]] for column in COLUMNS}).columns
        assert alone["verdict"] == [columns["verdict"][i]]
        for column in NUMBERS:
            assert alone[column][0] == pytest.approx(columns[column][i], abs=1e-7, nan_ok=True)
