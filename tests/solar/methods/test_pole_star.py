import pytest

from tests.solar.rows import problem, row, scored, scores_of

NIGHT = {"method": "pole-star", "times": "2026-05-10T23:30"}


def test_the_perfect_line_lies_below_the_star():
    result = scored(**NIGHT)
    (star,) = scores_of(row(**NIGHT)).drawing(0)["stars"]
    assert result["method_error_deg"] == pytest.approx(
        (star["azimuth_deg"] + 180.0) % 360.0 - 180.0, abs=1e-5
    )
    assert abs(result["method_error_deg"]) < 1.0


def test_what_is_left_is_the_students_own():
    result = scored(**NIGHT, reading_deg="4")
    assert result["error_deg"] == pytest.approx(4.0)
    assert result["own_error_deg"] == pytest.approx(4.0 - result["method_error_deg"])


def test_the_line_may_be_asked_for_another_bearing():
    north, east = scored(**NIGHT), scored(**NIGHT, target_deg="90", reading_deg="92")
    assert east["method_error_deg"] == pytest.approx(north["method_error_deg"])
    assert east["error_deg"] == pytest.approx(2.0)


def test_the_star_stands_as_high_as_the_latitude():
    (star,) = scores_of(row(**NIGHT)).drawing(0)["stars"]
    assert star["elevation_deg"] == pytest.approx(46.5, abs=0.8)


@pytest.mark.parametrize(("latitude", "refused"), [("5", False), ("4.9", True), ("-10", True)])
def test_south_of_five_degrees_north_the_star_is_too_low(latitude, refused):
    said = problem(**NIGHT, lat=latitude)
    assert ("too low" in said) is refused
    assert (said == "") is not refused


def test_by_day_no_star_is_seen():
    result = scored(**NIGHT | {"times": "2026-05-10T12:00"})
    assert result["fault_column"] == "times"
    assert "the sun was up" in result["problem"]


def test_exactly_one_time_is_needed():
    assert "exactly one time" in problem(**NIGHT | {"times": "2026-05-10T23:30;2026-05-10T23:40"})


def test_there_is_no_scatter_of_marks():
    assert scored(**NIGHT)["marking_scatter_deg"] is None


def test_the_clock_adds_next_to_nothing_to_the_own_error():
    result = scored(**NIGHT, judged_on="own", reading_u_deg="1")
    assert result["expanded_uncertainty_deg"] == pytest.approx(2.0, abs=1e-4)
