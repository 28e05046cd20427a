import numpy as np
import pytest

from solar.ephemeris import sun_position
from solar.horizon import TerrainHorizon
from tests.solar.rows import COMPUTED, problem, row, scored, scores_of

VALLEY = "0:0 70:0 80:20 100:20 110:0 250:0 260:30 300:30 310:0"
RECORDED = {"method": "first-last"}


def bisector_error(scores):
    """Half the two azimuths, less due south: equal lengths make an isosceles triangle."""
    return scores.geometry.azimuth_deg[0, :2].mean() - 180.0


def test_equal_lengths_point_half_way_between_the_two_shadows():
    scores = scores_of(row(**RECORDED))
    assert scores.columns["method_error_deg"][0] == pytest.approx(bisector_error(scores))


def test_the_computed_day_joins_the_first_rise_and_the_last_set():
    scores = scores_of(row(**COMPUTED))
    rise, last_set = scores.geometry.times[0, :2]
    assert rise < last_set
    assert scores.columns["method_error_deg"][0] == pytest.approx(bisector_error(scores))
    assert abs(scores.columns["method_error_deg"][0]) < 0.5


def test_the_computed_night_joins_the_last_set_and_the_next_rise():
    scores = scores_of(row(**COMPUTED | {"order": "night"}))
    forenoon, afternoon = scores.geometry.times[0, :2]
    assert afternoon < forenoon  # the rise is on the day after, and still drawn as the forenoon
    assert forenoon - afternoon < np.timedelta64(12, "h")
    assert scores.geometry.azimuth_deg[0, 0] < 180.0 < scores.geometry.azimuth_deg[0, 1]


def test_a_valley_with_several_rises_counts_from_the_first_to_the_last_light():
    scores = scores_of(row(**COMPUTED, horizon=VALLEY))
    profile = TerrainHorizon.parse(VALLEY)
    times = np.datetime64("2026-05-10T02:00", "us") + np.arange(0, 1140) * np.timedelta64(1, "m")
    azimuth, elevation = sun_position(times, latitude_deg=46.5, longitude_deg=8.0)
    up = times[elevation + 0.2667 >= profile.elevation_deg(azimuth)]
    assert scores.columns["problem"] == [""]
    assert abs(scores.geometry.times[0, 0] - up[0]) < np.timedelta64(1, "m")
    assert abs(scores.geometry.times[0, 1] - up[-1]) < np.timedelta64(1, "m")


def test_uneven_hills_turn_the_line_by_degrees():
    flat, hills = scored(**COMPUTED), scored(**COMPUTED, horizon="90:0 180:0 270:25 0:0")
    assert abs(hills["method_error_deg"] - flat["method_error_deg"]) > 3.0


def test_the_sun_columns_are_those_of_the_later_computed_time():
    scores = scores_of(row(**COMPUTED))
    assert scores.columns["sun_azimuth_deg"][0] > 270.0
    assert scores.observed_at[0].hour == 18


@pytest.mark.parametrize(
    ("date", "order", "word"),
    [
        ("2026-06-21", "day", "on this date"),
        ("2026-12-21", "day", "on this date"),
        ("2026-06-21", "night", "in the night"),
        ("2026-12-21", "night", "in the night"),
    ],
)
def test_a_date_without_rise_or_set_is_refused(date, order, word):
    result = scored(**COMPUTED | {"date": date, "order": order, "lat": "75"})
    assert result["fault_column"] == "date"
    assert word in result["problem"]


def test_a_computed_time_has_no_clock_to_be_wrong():
    result = scored(**COMPUTED, judged_on="own")
    assert result["expanded_uncertainty_deg"] == 0.0
    recorded = scored(**RECORDED, judged_on="own")
    assert recorded["expanded_uncertainty_deg"] > 0.0


@pytest.mark.parametrize(("minutes", "refused"), [(-4, False), (-6, True), (0, False), (30, False)])
def test_a_first_shadow_may_be_recorded_up_to_five_minutes_before_the_rise(minutes, refused):
    rise = scores_of(row(**COMPUTED, horizon="0:5")).geometry.times[0, 0]
    first = (rise + np.timedelta64(minutes, "m")).astype("datetime64[s]")
    sentence = problem(**RECORDED, horizon="0:5", times=f"{first}Z;2026-05-10T17:00Z")
    assert ("below the skyline" in sentence) is refused


def test_over_a_night_the_evening_may_be_written_first():
    night = scored(**RECORDED, times="2026-05-10T19:30;2026-05-11T07:00")
    assert night["problem"] == ""
    assert abs(night["method_error_deg"]) < 10.0


def test_the_same_time_twice_makes_no_line():
    result = scored(**RECORDED, times="2026-05-10T07:00;2026-05-10T05:00Z")
    assert result["fault_column"] == "times"
    assert "same time is given twice" in result["problem"]


def test_zones_on_the_other_side_of_the_date_line_find_both_crossings():
    assert problem(**COMPUTED | {"zone": "UTC", "lat": "-17", "lon": "179.9"}) == ""
    assert problem(**COMPUTED | {"zone": "UTC", "lat": "-17", "lon": "-180"}) == ""
