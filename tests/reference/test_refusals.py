"""What the batch format refuses, at the limit and one step past it, each with its sentence."""

import numpy as np
import pytest

from solar.scoring import score
from tests.reference.mixed_rows import COLUMNS

pytestmark = pytest.mark.reference

GOOD = {
    "attempt": "A1",
    "method": "shadow-tip",
    "lat": "46.5",
    "lon": "8.0",
    "elevation_m": "700",
    "zone": "Europe/Zurich",
    "times": "2026-05-10T10:00;2026-05-10T10:15",
    "check": "direct",
    "reading_deg": "2",
    "tolerance_deg": "10",
}
HANDS = {"method": "hands", "times": "2026-05-10T10:00", "hands": "3"}
WATCH = {"method": "watch", "times": "2026-05-10T10:00"}
EQUAL = {"method": "equal-shadow", "times": "2026-05-10T10:00"}
SHORTEST = {"method": "shortest-shadow", "times": "2026-05-10T13:25"}
DAY = {"method": "first-last", "times": "", "date": "2026-05-10", "order": "day"}
COMPASS = {"check": "compass"}
SHADOW = {"check": "shadow", "check_time": "2026-05-10T10:20"}
LANDMARK = {"check": "landmark", "landmark_deg": "45"}
TROPICS = {"lat": "1", "lon": "37", "zone": "Africa/Nairobi"}
VALLEY = {"horizon": "0:0 89:0 90:55 180:55 181:0"}


def one(*changes):
    row = dict.fromkeys(COLUMNS, "") | GOOD
    for change in changes:
        row |= change
    scores = score({column: [row[column]] for column in COLUMNS})
    return scores.columns["problem"][0], scores.fault_column[0], scores, row


def case(column, *changes, name=None):
    label = name or " ".join(f"{k}={v}" for k, v in changes[-1].items()) or "blank"
    return pytest.param(column, changes, id=f"{column}: {label}")


REFUSED = [
    case("attempt", {"attempt": ""}),
    case("method", {"method": ""}),
    case("method", {"method": "sundial"}),
    case("method", {"method": "Watch"}),
    case("check", {"check": ""}),
    case("check", {"check": "gps"}),
    case("judged_on", {"judged_on": "both"}),
    case("rule", {"rule": "strict"}),
    # Numbers
    *(
        case(column, {column: bad})
        for column in ("lat", "lon", "reading_deg", "tolerance_deg")
        for bad in ("", "nan", "inf", "-inf", "1e999", "north", "12,5", "1_0", "٣")
    ),
    *(
        case(column, {column: bad})
        for column in ("elevation_m", "stick_m", "mark_u_mm", "student_correction_deg",
                       "slope_deg", "target_deg", "correction_deg", "reading_u_deg")
        for bad in ("nan", "inf", "x")
    ),
    case("lat", {"lat": "90.001"}),
    case("lat", {"lat": "89.001"}),
    case("lat", {"lat": "-89.001"}),
    case("lon", {"lon": "180.001"}),
    case("elevation_m", {"elevation_m": "-500.1"}),
    case("elevation_m", {"elevation_m": "9000.1"}),
    case("tolerance_deg", {"tolerance_deg": "0"}),
    case("tolerance_deg", {"tolerance_deg": "180.1"}),
    case("tolerance_deg", {"tolerance_deg": "-5"}),
    case("reading_u_deg", {"reading_u_deg": "-0.1"}),
    case("stick_m", {"stick_m": "0"}),
    case("mark_u_mm", {"mark_u_mm": "-1"}),
    case("slope_deg", {"slope_deg": "45.1", "downhill_deg": "0"}),
    case("slope_deg", {"slope_deg": "-1", "downhill_deg": "0"}),
    case("hands", HANDS, {"hands": "0"}),
    case("hands", HANDS, {"hands": "12.1"}),
    case("hands", HANDS, {"hands": ""}, name="hands left blank"),
    case("degrees_per_hand", HANDS, {"degrees_per_hand": "1.9"}),
    case("degrees_per_hand", HANDS, {"degrees_per_hand": "30.1"}),
    case("rule_deg_per_hand", HANDS, {"rule_deg_per_hand": "1.9"}),
    case("rule_deg_per_hand", HANDS, {"rule_deg_per_hand": "30.1"}),
    case("half", HANDS, {"half": "morning"}),
    case("half", HANDS, {"half": "afternoon"}, name="half contradicts the sun"),
    # Skylines
    *(
        case("horizon", {"horizon": bad})
        for bad in ("90", "90:", "90:x", "90:60.1", "90:-5.1", "361:2", "-1:2", "90:nan", "90;5")
    ),
    # Times
    case("times", {"times": ""}),
    case("times", {"times": "2026-05-10T10:00"}, name="one mark alone"),
    case("times", {"times": "2026-05-10;2026-05-11"}, name="dates without a time of day"),
    case("times", {"times": "10:00;10:15"}),
    case("times", {"times": "2026-05-10T10:00;soon"}),
    case("times", {"times": "2026-05-10T10:15;2026-05-10T10:00"}, name="out of order"),
    case("times", {"times": "2026-05-10T10:00;2026-05-10T10:00:59"}, name="59 s apart"),
    case("times", {"times": "2026-03-29T02:30;2026-03-29T12:00"}, name="skipped by the clocks"),
    case("times", {"times": "2026-10-25T02:30;2026-10-25T12:00"}, name="twice on the clocks"),
    case("times", {"times": "1989-12-31T12:00;1989-12-31T12:15"}, name="before 1990"),
    case("times", {"times": "2051-01-01T12:00;2051-01-01T12:15"}, name="after 2050"),
    case("times", {"times": "2026-05-10T23:00;2026-05-10T23:15"}, name="at night"),
    case("times", VALLEY, name="behind the skyline"),
    case("times", {"times": "2026-05-10T06:05;2026-05-10T06:20"}, name="shadow over 20 sticks"),
    case("times", {"slope_deg": "45", "downhill_deg": "275"}, name="shadow that never lands"),
    case("downhill_deg", {"slope_deg": "10"}),
    case("times", {"method": "first-last", "times": "2026-05-10T06:10"}, name="one of two"),
    case("times", {"method": "first-last", "times": "2026-05-10T03:00;2026-05-10T20:30"},
         name="long before the rise"),
    case("times", EQUAL, {"times": ";".join(["2026-05-10T10:00"] * 3)}, name="three times"),
    case("times", EQUAL, {"times": "2026-05-10T16:00"}, name="afternoon alone"),
    case("times", WATCH, {"times": "2026-05-10T10:00;2026-05-10T10:15"}, name="two for one"),
    case("times", SHORTEST, TROPICS,
         {"times": "2026-03-26T12:37", "lat": "2"}, name="sun in the zenith"),
    case("zone", {"zone": "Middle/Nowhere"}),
    case("zone", {"zone": "../etc/passwd"}),
    case("summer_time", WATCH, {"summer_time": "maybe"}),
    case("zone", WATCH, {"zone": "", "times": "2026-05-10T10:00+02:00"},
         name="summer time neither told nor to be found"),
    case("lat", WATCH, TROPICS, name="sun north of the zenith in the northern hemisphere"),
    case("lat", HANDS, TROPICS, name="the same for hands"),
    case("date", DAY, {"date": ""}),
    case("order", DAY, {"order": ""}),
    case("order", DAY, {"order": "noon"}),
    case("zone", DAY, {"zone": ""}),
    case("date", DAY, {"date": "2026-02-30"}),
    case("date", DAY, {"date": "1989-12-31"}),
    case("date", DAY, {"lat": "75", "date": "2026-06-21"}, name="midnight sun"),
    case("date", DAY, {"lat": "75", "date": "2026-12-21"}, name="polar night"),
    case("date", DAY, {"zone": "Pacific/Apia", "lat": "-13.8", "lon": "-171.8",
                       "date": "2011-12-30"}, name="a date the calendar skipped"),
    # Checks
    case("check_time", SHADOW, {"check_time": ""}),
    case("check_time", SHADOW, {"check_time": "2026-05-10"}),
    case("check_time", SHADOW, {"check_time": "2026-05-10T23:00"}, name="night"),
    case("check_time", SHADOW, {"check_time": "2026-05-10T06:05"}, name="over 20 lengths"),
    case("check_time", SHADOW, {"times": "2026-05-10T17:00;2026-05-10T17:15"}, VALLEY,
         name="behind the skyline"),
    case("landmark_deg", LANDMARK, {"landmark_deg": ""}),
    case("landmark_deg", LANDMARK, {"landmark_deg": "nan"}),
    case("times", COMPASS, {"times": "2031-05-10T10:00;2031-05-10T10:15"}, name="after 2029"),
    case("times", COMPASS, {"times": "2014-05-10T10:00;2014-05-10T10:15"}, name="before 2015"),
    case("check", COMPASS, {"lat": "86", "lon": "150", "zone": "UTC",
                            "times": "2026-05-10T02:00;2026-05-10T02:15"}, name="weak field"),
]  # fmt: skip


@pytest.mark.parametrize(("column", "changes"), REFUSED)
def test_a_bad_value_is_refused_with_the_name_and_value_of_its_column(column, changes):
    problem, fault_column, scores, row = one(*changes)
    assert fault_column == column
    assert problem.startswith(column)
    assert row[column].strip() in problem
    assert problem.endswith(".")
    assert np.isnan(scores.columns["laid_true_deg"][0])
    assert scores.columns["verdict"] == [""]


def test_every_refusal_has_a_sentence_of_its_own():
    sentences = {}
    for parameter in REFUSED:
        column, changes = parameter.values
        sentences.setdefault(one(*changes)[0], []).append((column, parameter.id))
    assert [same for same in sentences.values() if len({column for column, _ in same}) > 1] == []


ALLOWED = [
    case("at the limit", {"lat": "89", "times": "2026-05-10T10:00;2026-05-10T10:15"}),
    case("at the limit", {"lat": "-30", "lon": "-180", "zone": "UTC",
                          "times": "2026-05-10T22:00;2026-05-10T22:15"}),
    case("at the limit", {"elevation_m": "-500"}),
    case("at the limit", {"elevation_m": "9000"}),
    case("at the limit", {"tolerance_deg": "180"}),
    case("at the limit", {"tolerance_deg": "0.001"}),
    case("at the limit", {"reading_u_deg": "0"}),
    case("at the limit", {"mark_u_mm": "0"}),
    case("at the limit", {"slope_deg": "45", "downhill_deg": "95"}),
    case("at the limit", HANDS, {"hands": "12"}),
    case("at the limit", HANDS, {"hands": "0.1"}),
    case("at the limit", HANDS, {"degrees_per_hand": "2", "rule_deg_per_hand": "2"}),
    case("at the limit", HANDS, {"degrees_per_hand": "30", "rule_deg_per_hand": "30"}),
    case("at the limit", HANDS, {"half": "forenoon"}),
    case("at the limit", {"horizon": "0:-5 359.9:60 180:0"}),
    case("at the limit", {"times": "2026-05-10T10:00;2026-05-10T10:01"}),
    case("at the limit", {"times": "1990-01-01T12:00;1990-01-01T12:15"}),
    case("at the limit", {"times": "2050-12-31T12:00;2050-12-31T12:15"}),
    case("with its offset", {"zone": "", "times": "2026-05-10T10:00+02:00;2026-05-10T08:15Z"}),
    case("with its offset", {"times": "2026-10-25T11:00+01:00;2026-10-25T11:15+01:00"}),
    case("within five minutes", {"method": "first-last",
                                 "times": "2026-05-10T05:59;2026-05-10T20:45"}),
    case("a valley does not stop", DAY, VALLEY),
    case("slope is a remark", SHORTEST, {"slope_deg": "20"}),
    case("watch without a zone", WATCH, {"zone": "", "summer_time": "yes",
                                         "times": "2026-05-10T10:00+02:00"}),
    case("own declination", COMPASS, {"declination_deg": "3", "times":
                                      "2045-05-10T10:00;2045-05-10T10:15"}),
    case("last day of the models", COMPASS, {"times": "2029-12-31T12:00;2029-12-31T12:15"}),
    case("first day of the models", COMPASS, {"times": "2015-01-02T12:00;2015-01-02T12:15"}),
    case("unused columns may stand", {"hands": "40", "check_time": "2026-05-10T10:20"}),
]  # fmt: skip


@pytest.mark.parametrize(("_why", "changes"), ALLOWED)
def test_what_stands_at_the_limit_is_scored(_why, changes):
    problem, fault_column, scores, _ = one(*changes)
    assert (problem, fault_column) == ("", "")
    assert np.isfinite(scores.columns["error_deg"][0])
    assert scores.columns["verdict"][0] in {"within", "outside", "too close to call"}


def test_a_slope_acts_on_the_shadow_tip_only():
    for method in (HANDS, WATCH, EQUAL, SHORTEST, DAY):
        level = one(method)[2].columns["method_error_deg"][0]
        assert one(method, {"slope_deg": "20", "downhill_deg": "30"})[2].columns[
            "method_error_deg"
        ][0] == pytest.approx(level, abs=1e-12)
    slope = {"slope_deg": "10", "downhill_deg": "90"}
    assert abs(one(slope)[2].columns["method_error_deg"][0]
               - one()[2].columns["method_error_deg"][0]) > 1.0  # fmt: skip


def test_a_declared_correction_of_nothing_is_not_the_same_as_none():
    none, nothing = one()[2].columns, one({"student_correction_deg": "0"})[2].columns
    assert np.isnan(none["correction_error_deg"][0])
    assert nothing["correction_error_deg"][0] == pytest.approx(none["method_error_deg"][0])
    assert nothing["own_error_deg"][0] == pytest.approx(nothing["error_deg"][0])


def test_summer_time_may_be_overruled_by_what_the_watch_showed():
    as_zone = one(WATCH)[2].columns["method_error_deg"][0]
    yes = one(WATCH, {"summer_time": "yes"})[2].columns["method_error_deg"][0]
    no = one(WATCH, {"summer_time": "no"})[2].columns["method_error_deg"][0]
    assert yes == pytest.approx(as_zone)
    # One hour more on the dial: the rule's south moves fifteen degrees to the left.
    assert (no - yes + 180.0) % 360.0 - 180.0 == pytest.approx(-15.0)
