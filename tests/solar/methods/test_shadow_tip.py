import numpy as np
import pytest

from solar.ephemeris import sun_position
from tests.solar.rows import problem, row, scored, scores_of

MANY = ";".join(f"2026-05-10T10:{minute:02d}" for minute in range(0, 60, 12))


def tips(*times, stick_m=1.0):
    """Tips on level ground, written out as plane trigonometry."""
    found = []
    for time in times:
        azimuth, elevation = (
            np.radians(part)
            for part in sun_position(np.datetime64(time), latitude_deg=46.5, longitude_deg=8.0)
        )
        found.append(-stick_m / np.tan(elevation) * np.array([np.sin(azimuth), np.cos(azimuth)]))
    return np.array(found)


def test_two_marks_are_joined_by_a_chord():
    first, last = tips("2026-05-10T08:00", "2026-05-10T08:15")
    east = np.degrees(np.arctan2(*(last - first)))
    assert scored()["method_error_deg"] == pytest.approx(east - 90.0, abs=1e-9)


def test_the_scatter_of_two_marks_is_root_two_of_the_mark_over_their_distance():
    first, last = tips("2026-05-10T08:00", "2026-05-10T08:15", stick_m=1.2)
    expected = np.degrees(np.sqrt(2.0) * 0.008 / np.linalg.norm(last - first))
    assert scored(stick_m="1.2", mark_u_mm="8")["marking_scatter_deg"] == pytest.approx(expected)


def test_more_marks_are_joined_by_total_least_squares():
    points = tips(*(f"2026-05-10T08:{minute:02d}" for minute in range(0, 60, 12)))
    centred = points - points.mean(axis=0)
    axis = np.linalg.svd(centred)[2][0]
    axis *= np.sign(axis @ (points[-1] - points[0]))
    result = scored(times=MANY)
    assert result["method_error_deg"] == pytest.approx(np.degrees(np.arctan2(*axis)) - 90.0)
    assert result["marking_scatter_deg"] == pytest.approx(
        np.degrees(0.005 / np.sqrt(((centred @ axis) ** 2).sum()))
    )


def test_rows_with_few_and_with_many_marks_are_each_scored_as_if_alone():
    together = scores_of(row(), row(times=MANY)).columns
    for name in ("method_error_deg", "marking_scatter_deg", "sun_azimuth_deg"):
        assert together[name][0] == scored()[name]
        assert together[name][1] == scored(times=MANY)[name]


def test_hundreds_of_marks_are_a_line_like_any_other():
    start = np.datetime64("2026-05-10T06:00:00")
    times = ";".join(f"{start + np.timedelta64(60 * n, 's')}Z" for n in range(400))
    result = scored(times=times, lat="60")
    assert result["problem"] == ""
    assert abs(result["method_error_deg"]) < 30.0


def test_perfectly_set_marks_do_not_scatter():
    assert scored(mark_u_mm="0")["marking_scatter_deg"] == 0.0


def test_the_length_of_the_stick_does_not_turn_the_line():
    assert scored(stick_m="0.3")["method_error_deg"] == pytest.approx(
        scored(stick_m="3")["method_error_deg"], abs=1e-9
    )


def test_a_stick_of_no_length_worth_naming_is_refused():
    result = scored(stick_m="1e-320")
    assert result["fault_column"] == "stick_m"
    assert "short" in result["problem"]


def test_ground_that_falls_away_along_the_shadow_lengthens_it():
    level, falling = (
        scores_of(row(slope_deg=slope, downhill_deg="290")).geometry.points_m[0, 0]
        for slope in ("0", "10")
    )
    assert np.linalg.norm(falling) > np.linalg.norm(level)
    assert np.arctan2(*falling) == pytest.approx(np.arctan2(*level), abs=1e-9)


def test_on_a_slope_the_tips_lie_where_the_ray_meets_the_ground():
    """In plan and height: the tip is on the slope, and on the ray from the top of the stick."""
    geometry = scores_of(row(slope_deg="12", downhill_deg="200")).geometry
    fall = np.tan(np.radians(12.0)) * np.array([np.sin(np.radians(200)), np.cos(np.radians(200))])
    for mark in (0, 1):
        tip = geometry.points_m[0, mark]
        ground = -fall @ tip
        drop = np.tan(np.radians(geometry.elevation_deg[0, mark])) * np.linalg.norm(tip)
        assert ground == pytest.approx(1.0 - drop, abs=1e-9)


def test_a_shadow_of_more_than_20_sticks_is_refused_even_on_level_ground():
    # Twenty lengths are an elevation of 2.862 degrees.
    times = [f"2026-05-10T04:{m}:{s:02d}Z" for m in range(15, 30) for s in (0, 30)]
    results = [scored(times=f"{time};2026-05-10T08:15Z", horizon="0:0") for time in times]
    refused = [bool(result["problem"]) for result in results]
    assert refused[0] and not refused[-1]
    height = [
        float(sun_position(np.datetime64(time[:-1]), latitude_deg=46.5, longitude_deg=8.0)[1])
        for time in times
    ]
    limit = np.degrees(np.arctan(1 / 20))
    assert refused == [elevation < limit for elevation in height]
    assert "stick lengths" in results[0]["problem"]


def test_a_shadow_that_never_lands_is_refused_as_such():
    assert "never lands" in problem(slope_deg="45", downhill_deg="275")


def test_under_the_midnight_sun_the_line_may_be_nearly_the_wrong_way_round():
    result = scored(lat="75", lon="0", zone="UTC", times="2026-06-21T00:00;2026-06-21T00:15")
    assert result["problem"] == ""
    assert abs(result["method_error_deg"]) > 165.0
