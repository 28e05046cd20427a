import math

import numpy as np
import pytest

from solar.declination import declination
from solar.ephemeris import sun_position
from tests.solar.rows import COMPASS, COMPUTED, LANDMARK, SHADOW, problem, row, scored, scores_of

PLACE = {"latitude_deg": 46.5, "longitude_deg": 8.0}
LAST_MARK = np.datetime64("2026-05-10T08:15", "us")
VALLEY = "0:0 89:0 90:55 180:55 181:0"


def field(time=LAST_MARK):
    return declination(time, **PLACE)


def test_a_direct_bearing_is_the_line_itself_and_certain():
    result = scored(check="direct", reading_deg="-10")
    assert result["laid_true_deg"] == 350.0
    assert result["expanded_uncertainty_deg"] == 0.0
    assert result["declination_used_deg"] is None


def test_a_compass_reading_takes_correction_and_declination():
    result = scored(**COMPASS, reading_deg="358", correction_deg="-1.5")
    assert result["declination_used_deg"] == pytest.approx(float(field().declination_deg))
    assert result["laid_true_deg"] == pytest.approx(356.5 + float(field().declination_deg))


def test_a_compass_check_without_a_time_is_one_of_the_last_recorded_time():
    by_default = scored(**COMPASS)["declination_used_deg"]
    later = scored(**COMPASS, check_time="2029-05-10T10:00")["declination_used_deg"]
    assert by_default == pytest.approx(float(field().declination_deg), abs=1e-9)
    assert later == pytest.approx(
        float(field(np.datetime64("2029-05-10T08:00", "us")).declination_deg), abs=1e-9
    )


def test_a_compass_check_of_computed_times_uses_the_later_of_them():
    assert problem(**COMPUTED | COMPASS) == ""
    assert "magnetic models" in problem(**COMPUTED | COMPASS | {"date": "2031-05-10"})


def test_a_compass_is_uncertain_by_its_reading_and_by_the_model():
    result = scored(**COMPASS)
    assert result["expanded_uncertainty_deg"] == pytest.approx(
        2.0 * math.hypot(1.5, float(field().uncertainty_deg))
    )


def test_an_own_declination_overrides_the_model_with_half_a_degree():
    scores = scores_of(row(**COMPASS, declination_deg="3.5"), row(**COMPASS))
    assert scores.columns["declination_used_deg"][0] == 3.5
    assert scores.columns["laid_true_deg"][0] == 5.5
    assert scores.columns["expanded_uncertainty_deg"][0] == pytest.approx(
        2.0 * math.hypot(1.5, 0.5)
    )
    assert scores.magnetic_model == ["", "WMM-2025"]


def test_an_own_declination_of_more_than_a_turn_is_brought_into_range():
    assert scored(**COMPASS, declination_deg="400")["declination_used_deg"] == 40.0


@pytest.mark.parametrize(
    ("date", "word"),
    [
        ("2009-05-10", "2010 to 2030 only"), ("2030-05-10", "2010 to 2030 only"),
        ("2010-05-10", "no published error"), ("2014-12-31", "no published error"),
    ],
)  # fmt: skip
def test_years_without_a_model_or_without_its_error_need_an_own_declination(date, word):
    times = f"{date}T11:00Z;{date}T11:15Z"
    refused = scored(**COMPASS, times=times)
    assert refused["fault_column"] == "times"
    assert word in refused["problem"]
    assert "give a declination_deg" in refused["problem"]
    assert problem(**COMPASS, times=times, declination_deg="2") == ""


def test_the_column_of_the_time_that_has_no_model_is_named():
    assert scored(**COMPASS, check_time="2031-05-10T10:00")["fault_column"] == "check_time"
    result = scored(**COMPUTED | COMPASS | {"date": "2031-05-10"})
    assert result["fault_column"] == "date"


@pytest.mark.parametrize("own", ["", "2"])
def test_a_field_too_weak_for_a_compass_is_refused_whatever_the_declination(own):
    near_the_pole = {"lat": "86", "lon": "150", "times": "2026-05-10T02:00Z;2026-05-10T02:15Z"}
    result = scored(**COMPASS, **near_the_pole, declination_deg=own)
    assert result["fault_column"] == "check"
    assert "nT" in result["problem"]
    assert problem(**near_the_pole, check="direct") == ""


def test_a_shadow_check_turns_from_the_shadow_of_that_time():
    azimuth, _ = sun_position(np.datetime64("2026-05-10T08:20", "us"), **PLACE)
    result = scored(**SHADOW, reading_deg="30")
    assert result["laid_true_deg"] == pytest.approx((float(azimuth) + 210.0) % 360.0)


def test_a_shadow_check_is_uncertain_by_its_angle_and_15_seconds():
    before, after = (
        float(sun_position(np.datetime64(time, "us"), **PLACE)[0])
        for time in ("2026-05-10T08:19:30", "2026-05-10T08:20:30")
    )
    assert scored(**SHADOW)["expanded_uncertainty_deg"] == pytest.approx(
        2.0 * math.hypot(1.0, (after - before) / 60.0 * 15.0), abs=1e-6
    )


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"check_time": "2026-05-10T23:00"}, "longer than 20"),
        ({"check_time": "2026-05-10T06:15"}, "longer than 20"),
        ({"horizon": VALLEY, "times": "2026-05-10T17:00;2026-05-10T17:15"}, "below the skyline"),
        ({"lat": "5", "lon": "37", "times": "2026-04-03T06:00Z;2026-04-03T06:15Z",
          "check_time": "2026-04-03T09:34Z"}, "zenith"),
    ],
)  # fmt: skip
def test_a_plumb_line_without_a_usable_shadow_is_refused(changes, word):
    result = scored(**SHADOW | changes)
    assert result["fault_column"] == "check_time"
    assert word in result["problem"]


def test_a_landmark_adds_the_bearing_of_the_mark_and_half_a_degree():
    result = scored(**LANDMARK, reading_deg="330")
    assert result["laid_true_deg"] == 15.0
    assert result["expanded_uncertainty_deg"] == pytest.approx(2.0 * math.hypot(1.0, 0.5))


@pytest.mark.parametrize(("u_deg", "expanded"), [("0.2", 2.0 * math.hypot(1.0, 0.2)), ("0", 2.0)])
def test_a_mark_whose_bearing_is_known_better_or_worse_counts_so(u_deg, expanded):
    result = scored(**LANDMARK, landmark_u_deg=u_deg)
    assert result["expanded_uncertainty_deg"] == pytest.approx(expanded)


def test_how_sure_a_mark_is_does_not_matter_where_none_was_used():
    assert scored(check="direct", landmark_u_deg="5")["expanded_uncertainty_deg"] == 0.0
    assert "landmark_u_deg" in problem(**LANDMARK, landmark_u_deg="-1")


@pytest.mark.parametrize(
    ("check", "expanded"),
    [({"check": "direct"}, 4.0), (LANDMARK, 2.0 * math.hypot(2.0, 0.5)),
     (COMPASS | {"declination_deg": "1"}, 2.0 * math.hypot(2.0, 0.5))],
)  # fmt: skip
def test_an_uncertainty_of_the_reading_replaces_the_usual_one(check, expanded):
    result = scored(**check, reading_u_deg="2")
    assert result["expanded_uncertainty_deg"] == pytest.approx(expanded)


def test_a_reading_may_be_said_to_be_certain():
    assert scored(check="direct", reading_u_deg="0")["expanded_uncertainty_deg"] == 0.0
    assert scored(**LANDMARK, reading_u_deg="0")["expanded_uncertainty_deg"] == 1.0
