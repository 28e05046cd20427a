import pytest

from tests.solar.rows import problem, row, scored, scores_of

NIGHT = {
    "method": "southern-cross",
    "lat": "-45.0",
    "lon": "169.3",
    "zone": "Pacific/Auckland",
    "times": "2026-03-10T22:10",
    "target_deg": "180",
    "reading_deg": "181",
}


def stars_of(**changes):
    return scores_of(row(**NIGHT | changes)).drawing(0)["stars"]


def test_south_lies_below_the_point_the_axis_leads_to():
    point = stars_of()[2]
    expected = (point["azimuth_deg"] - 180.0 + 180.0) % 360.0 - 180.0
    assert scored(**NIGHT)["method_error_deg"] == pytest.approx(expected, abs=1e-5)


def test_the_point_is_near_the_pole_of_the_sky():
    point = stars_of()[2]
    assert point["elevation_deg"] == pytest.approx(45.0, abs=4.0)
    assert point["azimuth_deg"] == pytest.approx(180.0, abs=6.0)


def test_gacrux_acrux_and_the_point_are_drawn():
    assert len(stars_of()) == 3


def test_the_rule_holds_all_night_within_a_few_degrees():
    for hour in ("21:40", "23:30", "23:59"):
        result = scored(**NIGHT | {"times": f"2026-03-10T{hour}"})
        assert abs(result["method_error_deg"]) < 6.0


def test_what_is_left_is_the_students_own():
    result = scored(**NIGHT)
    assert result["error_deg"] == pytest.approx(1.0)
    assert result["own_error_deg"] == pytest.approx(1.0 - result["method_error_deg"])


def test_a_cross_below_the_horizon_is_refused():
    result = scored(**NIGHT | {"lat": "46.5", "lon": "8", "zone": "Europe/Zurich"})
    assert result["fault_column"] == "times"
    assert "below the horizon" in result["problem"]


def test_by_day_no_star_is_seen():
    assert "the sun was up" in problem(**NIGHT | {"times": "2026-03-10T13:00"})
