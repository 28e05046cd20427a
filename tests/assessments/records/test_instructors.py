"""Instructors and tools compared; checked against a plain least-squares fit by NumPy."""

import numpy as np
import pytest

from assessments.records.instructors import Cell, compare


def cells_of(rows):
    """Cells from (block, instructor, tool, own error)."""
    sums = {}
    for block, instructor, tool, own in rows:
        cell = sums.setdefault((block, instructor, tool), [0, 0.0, 0.0])
        cell[0] += 1
        cell[1] += own
        cell[2] += own * own
    return [
        Cell(block=b, instructor=i, tool=t, count=n, total=total, squares=squares)
        for (b, i, t), (n, total, squares) in sums.items()
    ]


def design(*, effects, tools, pairs, blocks=12, noise=1.0, seed=5):
    chance = np.random.default_rng(seed)
    pulls = chance.normal(0.0, 6.0, blocks)
    return [
        (block, i, t, pulls[block] + effects[i] + tools[t] + chance.normal(0.0, noise))
        for block in range(blocks)
        for i, t in pairs
    ]


CROSSED = [("Ada", "one"), ("Ada", "two"), ("Ben", "one"), ("Ben", "two")]


def test_an_instructor_who_reads_three_degrees_more_is_told_apart_from_the_instrument():
    rows = design(effects={"Ada": 3.0, "Ben": 0.0}, tools={"one": 0.0, "two": -5.0}, pairs=CROSSED)
    found = compare(cells_of(rows))
    assert found.separated
    ada, _ben = found.instructors
    assert ada.difference_deg == pytest.approx(3.0, abs=ada.half_width_deg * 1.5)
    assert ada.is_clear
    one, _two = found.tools
    assert one.difference_deg == pytest.approx(5.0, abs=one.half_width_deg * 1.5)


def test_instructors_who_read_alike_show_no_clear_difference():
    rows = design(effects={"Ada": 0.0, "Ben": 0.0}, tools={"one": 0.0, "two": 0.0}, pairs=CROSSED)
    assert not any(one.is_clear for one in compare(cells_of(rows)).instructors)


def test_each_with_a_tool_of_their_own_cannot_be_told_apart():
    pairs = [("Ada", "one"), ("Ben", "two")]
    rows = design(effects={"Ada": 3.0, "Ben": 0.0}, tools={"one": 0.0, "two": 0.0}, pairs=pairs)
    found = compare(cells_of(rows))
    assert not found.separated
    assert found.tools == ()
    assert found.instructors[0].difference_deg == pytest.approx(3.0, abs=1.5)


def test_without_a_student_in_common_nothing_is_told():
    rows = [(0, "Ada", "one", 3.0), (0, "Ada", "one", 4.0), (1, "Ben", "one", 0.0)]
    found = compare(cells_of(rows))
    assert not found.says_anything


def test_one_instructor_has_nobody_to_be_compared_with():
    assert compare(cells_of([(0, "Ada", "one", 3.0)])) is None


def test_estimate_and_interval_are_those_of_a_plain_fit():
    # numpy.linalg.lstsq over one row a line, dummies for block, instructor and tool.
    rows = design(effects={"Ada": 2.0, "Ben": -1.0}, tools={"one": 0.5, "two": 0.0}, pairs=CROSSED)
    blocks = sorted({row[0] for row in rows})
    matrix = np.array(
        [[*(row[0] == b for b in blocks), row[1] == "Ada", row[2] == "one"] for row in rows],
        dtype=float,
    )
    errors = np.array([row[3] for row in rows])
    estimate, left, rank, _ = np.linalg.lstsq(matrix, errors)
    variance = left[0] / (len(rows) - rank)
    error = np.sqrt(variance * np.linalg.inv(matrix.T @ matrix)[len(blocks), len(blocks)])
    ada = compare(cells_of(rows)).instructors[0]
    assert ada.difference_deg == pytest.approx(estimate[len(blocks)], rel=1e-9)
    from scipy import stats

    half = stats.t.ppf(0.975, len(rows) - rank) * error
    assert ada.half_width_deg == pytest.approx(half, rel=1e-9)
