import json

import numpy as np
import pytest

from solar.columns import read
from solar.drawing import Geometry
from tests.solar.rows import BY_METHOD, COMPUTED, row, scored, scores_of, table


def drawing(**changes):
    return scores_of(row(**changes)).drawing(0)


@pytest.mark.parametrize("method", BY_METHOD)
def test_a_drawing_is_plain_values_that_json_can_hold(method):
    assert json.loads(json.dumps(drawing(method=method), allow_nan=False))["method"] == method


def test_a_refused_row_has_a_drawing_without_lines():
    empty = drawing(times="2026-05-10T23:00;2026-05-10T23:15")
    assert empty["laid_deg"] is empty["method_deg"] is empty["uncertainty_deg"] is None
    assert empty["marks"] == []
    json.dumps(drawing(method="", lat="x"), allow_nan=False)


@pytest.mark.parametrize(
    ("method", "marks", "points"),
    [("shadow-tip", 2, True), ("first-last", 2, True), ("equal-shadow", 2, True),
     ("shortest-shadow", 1, True), ("hands", 1, False), ("watch", 1, False)],
)  # fmt: skip
def test_each_method_has_its_marks_and_points(method, marks, points):
    found = drawing(method=method)["marks"]
    assert len(found) == marks
    assert all((mark["east_m"] is not None) == points for mark in found)


def test_points_lie_along_their_shadows():
    for method in ("shadow-tip", "first-last", "equal-shadow", "shortest-shadow"):
        for mark in drawing(method=method, stick_m="1.3")["marks"]:
            bearing = np.degrees(np.arctan2(mark["east_m"], mark["north_m"])) % 360.0
            assert bearing == pytest.approx(mark["shadow_bearing_deg"], abs=1e-3), method
            assert mark["shadow_bearing_deg"] == pytest.approx(
                (mark["sun_azimuth_deg"] + 180.0) % 360.0, abs=1e-5
            )


def test_the_line_of_the_method_is_drawn_for_the_target_that_was_asked_for():
    north, east = drawing(), drawing(target_deg="90", reading_deg="92")
    error = scored()["method_error_deg"]
    assert north["method_deg"] == pytest.approx(error % 360.0, abs=1e-5)
    assert east["method_deg"] == pytest.approx((error + 90.0) % 360.0, abs=1e-5)
    assert (east["target_deg"], east["laid_deg"]) == (90.0, 92.0)


def test_equal_lengths_are_as_long_as_the_stick_with_the_forenoon_first():
    marks = drawing(method="first-last", times="2026-05-10T19:30;2026-05-10T07:00", stick_m="1.5")[
        "marks"
    ]
    assert [np.hypot(mark["east_m"], mark["north_m"]) for mark in marks] == pytest.approx([1.5] * 2)
    assert marks[0]["time"] == "2026-05-10T05:00:00+00:00"


def test_recorded_and_computed_times_are_told_apart():
    recorded = {
        name: [mark["recorded"] for mark in drawing(**changes)["marks"]]
        for name, changes in (
            ("tips", {}), ("computed", COMPUTED), ("equal", {"method": "equal-shadow"}),
        )
    }  # fmt: skip
    assert recorded == {"tips": [True] * 2, "computed": [False] * 2, "equal": [True, False]}


def test_slope_and_stick_are_passed_on():
    shown = drawing(slope_deg="7", downhill_deg="-90", stick_m="0.8")
    assert (shown["slope_deg"], shown["downhill_deg"], shown["stick_m"]) == (7.0, 270.0, 0.8)


def test_an_empty_geometry_has_no_times():
    attempts, _ = read(table([row(), row(method="watch")]))
    geometry = Geometry.empty(attempts)
    assert np.isnat(geometry.last_times()).all()
    assert geometry.last_recorded().tolist() == [attempts.times[0, 1].tolist(),
                                                 attempts.times[1, 0].tolist()]  # fmt: skip
