import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from solar.daylight import upper_transit
from solar.ephemeris import sun_position
from tests.solar.rows import problem, row, scored, scores_of

EQUAL = {"method": "equal-shadow"}


def elevations(scores):
    return scores.geometry.elevation_deg[0, :2]


def test_the_afternoon_is_computed_at_the_same_height_of_the_sun():
    scores = scores_of(row(**EQUAL))
    morning, afternoon = elevations(scores)
    assert morning == pytest.approx(afternoon, abs=1e-6)
    assert scores.geometry.times[0, 1] > np.datetime64("2026-05-10T11:00")
    assert scores.geometry.of_row(0)["marks"][1]["recorded"] is False


def test_two_recorded_times_are_taken_as_they_are_with_equal_lengths():
    scores = scores_of(row(**EQUAL, times="2026-05-10T10:00;2026-05-10T16:00"))
    lengths = np.linalg.norm(scores.geometry.points_m[0, :2], axis=-1)
    assert lengths[0] == pytest.approx(lengths[1])
    assert scores.columns["method_error_deg"][0] == pytest.approx(
        scores.geometry.azimuth_deg[0, :2].mean() - 180.0
    )


@settings(max_examples=60)
@given(
    st.floats(-88.9, 88.9),
    st.integers(0, 364),
    st.one_of(st.floats(1.0, 200.0), st.floats(1.0, 43_000.0)),
)
def test_wherever_and_whenever_the_sun_comes_down_to_the_height_it_had(latitude, day, before_s):
    noon = upper_transit(
        np.datetime64("2026-01-01T12:00", "us") + np.timedelta64(day, "D"), longitude_deg=0.0
    )
    forenoon = noon - np.timedelta64(round(before_s * 1e6), "us")
    scores = scores_of(
        row(**EQUAL, lat=repr(latitude), lon="0", times=f"{forenoon}Z", judged_on="own")
    )
    assume(not scores.columns["problem"][0])
    later = scores.geometry.times[0, 1]
    morning, afternoon = elevations(scores)
    assert morning == pytest.approx(afternoon, abs=1e-5)
    between = forenoon + (later - forenoon) * np.linspace(0.02, 0.98, 25)
    _, heights = sun_position(between, latitude_deg=latitude, longitude_deg=0.0)
    assert (heights > morning).all()
    # A quarter of a minute of clock turns this line by hundredths of a degree, never by tens.
    assert scores.columns["expanded_uncertainty_deg"][0] < 0.5


@pytest.mark.parametrize("seconds", [1, 20, 29, 31, 90])
def test_a_mark_shortly_before_noon_has_its_counterpart_shortly_after(seconds):
    noon = upper_transit(np.datetime64("2026-05-10T11:00", "us"), longitude_deg=8.0)
    times = f"{noon - np.timedelta64(seconds, 's')}Z"
    scores = scores_of(row(**EQUAL, times=times, judged_on="own"))
    assert scores.columns["problem"] == [""]
    apart = np.diff(scores.geometry.times[0, :2])[0]
    assert np.timedelta64(0, "s") < apart < np.timedelta64(2 * seconds + 60, "s")
    assert abs(scores.columns["method_error_deg"][0]) < 0.2
    assert scores.columns["expanded_uncertainty_deg"][0] < 0.1


def test_a_first_mark_in_the_afternoon_is_refused():
    result = scored(**EQUAL, times="2026-05-10T16:00")
    assert result["fault_column"] == "times"
    assert "past its highest" in result["problem"]


@pytest.mark.parametrize("second", ["2026-05-10T11:00", "2026-05-09T16:00", "2026-05-10T10:00"])
def test_a_second_mark_before_noon_or_before_the_first_is_refused(second):
    assert "not past its highest" in problem(**EQUAL, times=f"2026-05-10T10:00;{second}")


def test_a_spring_night_of_the_far_north_has_no_counterpart_the_same_afternoon():
    # Under the midnight sun of a growing year it does not come down again to where it was
    # just after midnight.
    noon = upper_transit(np.datetime64("2026-04-25T12:00", "us"), longitude_deg=0.0)
    times = f"{noon - np.timedelta64(42_900, 's')}Z"
    result = scored(**EQUAL, lat="86", lon="0", times=times)
    assert result["fault_column"] == "times"
    assert "does not come down" in result["problem"]


def test_a_long_shadow_is_refused_at_either_end():
    assert "no end that can be marked" in problem(**EQUAL, times="2026-05-10T06:10")
    late = problem(**EQUAL, times="2026-05-10T10:00;2026-05-10T20:35")
    assert "no end that can be marked" in late


def test_a_recorded_second_mark_behind_the_skyline_is_refused():
    hills = "0:0 200:0 210:60 300:60 310:0"
    assert "skyline" in problem(**EQUAL, times="2026-05-10T10:00;2026-05-10T16:30", horizon=hills)
    assert problem(**EQUAL, horizon=hills) == ""
