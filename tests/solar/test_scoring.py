"""Rows in, scores out: refusals side by side with good rows, the split, limits of every kind."""

import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from solar.columns import COLUMNS, STAR_METHODS
from solar.scoring import ADDED, NUMBERS, score
from tests.solar.rows import (
    BY_METHOD,
    COMPASS,
    COMPUTED,
    LANDMARK,
    SHADOW,
    row,
    scored,
    scores_of,
    table,
)

VALLEY = {"horizon": "0:0 89:0 90:55 180:55 181:0"}
TROPICS = {"lat": "1", "lon": "37", "zone": "Africa/Nairobi"}
NIGHT = "2026-05-10T23:00"


def bad(column, word, **changes):
    return pytest.param(column, word, changes, id=f"{column}-{word}-{len(changes)}")


# Every kind of bad input of the batch format, and every case in which a method does not apply:
# the column that is named, a word that only this sentence has, and the row.
REFUSALS = [
    bad("attempt", "required", attempt=""),
    bad("method", "shadow-tip, first-last", method="sundial"),
    bad("lat", "finite number", lat="nan"),
    bad("lon", "finite number", lon="-inf"),
    bad("lat", "pole", lat="89.5"),
    bad("lat", "-90 to 90", lat="91"),
    bad("lon", "-180 to 180", lon="180.001"),
    bad("elevation_m", "-500 to 9000", elevation_m="9000.5"),
    bad("elevation_m", "-500 to 9000", elevation_m="-501"),
    bad("zone", "IANA", zone="Middle/Nowhere"),
    bad("times", "needs a zone", zone=""),
    bad("times", "without a time of day", times="2026-05-10;2026-05-11"),
    bad("times", "ISO 8601", times="10:00;10:15"),
    bad("times", "semicolon", times="2026-05-10T10:00;"),
    bad("times", "two or more", times="2026-05-10T10:00"),
    bad("times", "exactly two", method="first-last", times="2026-05-10T07:00"),
    bad("times", "or two", method="equal-shadow", times=""),
    bad("times", "exactly one", method="watch", times=""),
    bad("times", "does not exist", times="2026-03-29T02:30;2026-03-29T12:00"),
    bad("times", "exists twice", times="2026-10-25T02:30;2026-10-25T12:00"),
    bad("times", "1990 to 2050", times="1989-12-31T12:00;1989-12-31T12:15"),
    bad("times", "1990 to 2050", times="2051-01-01T12:00;2051-01-01T12:15"),
    bad("times", "a minute apart", times="2026-05-10T10:15;2026-05-10T10:00"),
    bad("times", "a minute apart", times="2026-05-10T10:00;2026-05-10T10:00:59"),
    bad("date", "needs it", **COMPUTED | {"date": ""}),
    bad("order", "day or night", **COMPUTED | {"order": "dusk"}),
    bad("date", "ISO 8601 date", **COMPUTED | {"date": "10 May"}),
    bad("date", "rise and set", **COMPUTED | {"lat": "75", "date": "2026-06-21"}),
    bad("date", "in the night", **COMPUTED | {"lat": "75", "order": "night", "date": "2026-12-21"}),
    bad("date", "calendar skips", **COMPUTED | {"zone": "Pacific/Apia", "date": "2011-12-30"}),
    bad("hands", "hands that were counted", method="hands", hands=""),
    bad("hands", "at most 12 hands", method="hands", hands="12.5"),
    bad("hands", "at most 12 hands", method="hands", hands="0"),
    bad("degrees_per_hand", "2 to 30", method="hands", degrees_per_hand="1"),
    bad("rule_deg_per_hand", "2 to 30", method="hands", rule_deg_per_hand="31"),
    bad("half", "forenoon or afternoon", method="hands", half="morning"),
    bad("half", "before its highest", method="hands", half="afternoon"),
    bad("stick_m", "more than 0 metres", stick_m="0"),
    bad("mark_u_mm", "at least 0 millimetres", mark_u_mm="-1"),
    bad("student_correction_deg", "finite number", student_correction_deg="left"),
    bad("summer_time", "yes, no or blank", method="watch", summer_time="da"),
    bad("zone", "the watch needs it", method="watch", zone="", times="2026-05-10T10:00Z"),
    bad("slope_deg", "0 to 45", slope_deg="46", downhill_deg="0"),
    bad("downhill_deg", "ground falls", slope_deg="5"),
    bad("horizon", "such as 90:4.5", horizon="90-4"),
    bad("horizon", "-5 to 60", horizon="90:61"),
    bad("horizon", "0 to 360", horizon="400:1"),
    bad("target_deg", "finite number", target_deg="east"),
    bad("check", "compass, shadow", check=""),
    bad("reading_deg", "required", reading_deg=""),
    bad("reading_deg", "finite number", reading_deg="1e400"),
    bad("reading_deg", "too large", reading_deg="1e308"),
    bad("check_time", "shadow check requires", **SHADOW | {"check_time": ""}),
    bad("check_time", "ISO 8601", **COMPASS | {"check_time": "later"}),
    bad("landmark_deg", "true bearing", **LANDMARK | {"landmark_deg": ""}),
    bad("correction_deg", "finite number", **COMPASS | {"correction_deg": "2W"}),
    bad("declination_deg", "finite number", **COMPASS | {"declination_deg": "3E"}),
    bad("reading_u_deg", "at least 0", reading_u_deg="-0.1"),
    bad("tolerance_deg", "at most 180", tolerance_deg="0"),
    bad("tolerance_deg", "at most 180", tolerance_deg="180.5"),
    bad("judged_on", "result or own", judged_on="both"),
    bad("rule", "guarded or plain", rule="strict"),
    # When it does not apply
    *(bad("times", "below the horizon", method=name, times=times, hands="3")
      for name, times in (
          ("shadow-tip", f"{NIGHT};2026-05-10T23:15"), ("first-last", f"2026-05-10T10:00;{NIGHT}"),
          ("equal-shadow", "2026-05-10T04:00"), ("shortest-shadow", NIGHT), ("hands", NIGHT),
          ("watch", NIGHT))),
    *(bad("times", "below the skyline", method=name, hands="3", **VALLEY)
      for name in ("shadow-tip", "equal-shadow", "hands", "watch")),
    bad("times", "beyond 20", times="2026-05-10T06:15;2026-05-10T10:00"),
    bad("times", "20 stick lengths", method="equal-shadow", times="2026-05-10T06:10"),
    bad("times", "20 stick lengths", method="shortest-shadow", times="2026-05-10T06:10"),
    bad("check_time", "20 lengths", **SHADOW | {"check_time": "2026-05-10T06:10"}),
    bad("times", "zenith", **TROPICS | {"method": "shortest-shadow", "lat": "2",
                                        "times": "2026-03-26T12:37"}),
    bad("check_time", "zenith", **SHADOW | TROPICS | {"lat": "5",
                                                      "check_time": "2026-04-03T12:34"}),
    bad("lat", "rule does not hold", **TROPICS | {"method": "watch"}),
    bad("lat", "rule does not hold", **TROPICS | {"method": "hands"}),
    bad("times", "never lands", slope_deg="45", downhill_deg="275"),
    bad("times", "2010 to 2030", **COMPASS | {"times": "2031-05-10T10:00;2031-05-10T10:15"}),
    bad("times", "no published error", **COMPASS | {"times": "2014-05-10T10:00;2014-05-10T10:15"}),
    bad("check", "2000 nT", **COMPASS | {"lat": "86", "lon": "150",
                                         "times": "2026-05-10T02:00Z;2026-05-10T02:15Z"}),
]  # fmt: skip


@pytest.mark.parametrize(("column", "word", "changes"), REFUSALS)
def test_a_row_that_cannot_be_scored_says_why_and_leaves_its_neighbours_alone(
    column, word, changes
):
    scores = scores_of(row(), row(**changes), row(method="watch"))
    sentence = scores.columns["problem"][1]
    value = row(**changes)[column]
    assert scores.fault_column == ["", column, ""]
    assert word in sentence
    assert sentence.startswith(f"{column} “{value}”: " if value else f"{column} is blank: ")
    assert sentence.endswith(".")
    blank = [scores.columns[name][1] for name in ADDED if name not in ("verdict", "problem")]
    assert np.isnan(blank).all()
    assert scores.columns["verdict"][1] == ""
    assert scores.observed_at[1] is None
    for index, alone in ((0, scored()), (2, scored(method="watch"))):
        assert scores.columns["problem"][index] == ""
        assert scores.columns["error_deg"][index] == alone["error_deg"]
        assert scores.columns["method_error_deg"][index] == alone["method_error_deg"]
        assert scores.columns["verdict"][index] == alone["verdict"]


def test_every_kind_of_refusal_has_a_sentence_of_its_own():
    by_sentence = {}
    for parameter in REFUSALS:
        column, word, changes = parameter.values
        what = scored(**changes)["problem"].split(": ", 1)[1]
        by_sentence.setdefault(what, set()).add((column, word))
    for what, kinds in by_sentence.items():
        assert len({word for _, word in kinds}) == 1, what


@pytest.mark.parametrize("method", BY_METHOD)
@pytest.mark.parametrize("check", [{}, COMPASS, SHADOW, LANDMARK])
def test_every_method_is_scored_with_every_check(method, check):
    # Checked in the middle of the day, when the sun is up for all of them.
    check = check | ({"check_time": "2026-05-10T11:00"} if check == SHADOW else {})
    result = scored(method=method, **check)
    assert result["problem"] == ""
    assert result["verdict"] in {"within", "outside", "too close to call"}


def test_no_rows_give_no_scores():
    scores = score({name: [] for name in COLUMNS})
    assert [len(scores.columns[name]) for name in ADDED] == [0] * len(ADDED)
    assert scores.observed_at == scores.fault_column == scores.magnetic_model == []


def test_rows_that_are_all_refused_are_no_error():
    scores = scores_of(row(lat="x"), row(method=""), row(times=""))
    assert all(scores.columns["problem"])


def test_the_order_of_rows_does_not_matter():
    rows = [row(method=name) for name in BY_METHOD] + [row(**COMPUTED), row(lat="x")]
    forward, backward = scores_of(*rows), scores_of(*rows[::-1])
    for name in NUMBERS:
        assert np.array_equal(
            forward.columns[name], backward.columns[name][::-1], equal_nan=True
        ), name
    assert forward.columns["problem"] == backward.columns["problem"][::-1]


def test_the_added_columns_stand_in_their_order():
    assert list(scores_of(row()).columns) == list(ADDED)
    assert ",".join(ADDED) == (
        "laid_true_deg,error_deg,method_error_deg,own_error_deg,counting_error_deg,"
        "correction_error_deg,marking_scatter_deg,expanded_uncertainty_deg,verdict,"
        "sun_azimuth_deg,sun_elevation_deg,declination_used_deg,problem"
    )


def test_each_method_fills_only_the_columns_that_are_its_own():
    for method in BY_METHOD:
        result = scored(method=method)
        assert (result["counting_error_deg"] is not None) == (method == "hands")
        assert (result["marking_scatter_deg"] is not None) == (
            method in ("shadow-tip", "first-last", "equal-shadow")
        )
        assert result["correction_error_deg"] is None


@given(st.floats(0, 359.9), st.floats(0, 359.9))
@settings(max_examples=30)
def test_the_error_is_the_line_less_the_target_and_splits_into_method_and_own(reading, target):
    result = scored(reading_deg=repr(reading), target_deg=repr(target))
    turns = (result["error_deg"] - (reading - target)) / 360.0
    assert turns == pytest.approx(round(turns), abs=1e-9)
    split = result["error_deg"] - result["method_error_deg"] - result["own_error_deg"]
    assert split / 360.0 == pytest.approx(round(split / 360.0), abs=1e-9)
    assert -180.0 < result["own_error_deg"] <= 180.0


def test_pointing_out_east_is_the_same_line_with_another_target():
    north, east = scored(reading_deg="5"), scored(reading_deg="95", target_deg="90")
    assert east["error_deg"] == north["error_deg"] == 5.0
    assert east["own_error_deg"] == pytest.approx(north["own_error_deg"])


def test_a_line_the_wrong_way_round_is_180_degrees_off_and_not_minus_180():
    assert scored(reading_deg="180")["error_deg"] == 180.0
    assert scored(reading_deg="-180")["error_deg"] == 180.0


def test_undeclared_the_method_is_taken_out_of_the_own_error():
    result = scored()
    assert result["method_error_deg"] == pytest.approx(-16.0, abs=0.1)
    assert result["own_error_deg"] == pytest.approx(2.0 - result["method_error_deg"])


@pytest.mark.parametrize("declared", ["0", "-0", "16", "-200"])
def test_declared_the_method_is_the_students_to_deal_with(declared):
    result, plain = scored(student_correction_deg=declared), scored()
    assert result["own_error_deg"] == result["error_deg"] == 2.0
    assert result["method_error_deg"] == plain["method_error_deg"]
    wrapped = (plain["method_error_deg"] + float(declared) + 180.0) % 360.0 - 180.0
    assert result["correction_error_deg"] == pytest.approx(wrapped)


def test_the_clock_counts_where_the_own_error_is_judged_and_nothing_was_declared():
    before, after = (
        scored(times=f"2026-05-10T09:59:{s};2026-05-10T10:14:{s}")["method_error_deg"]
        for s in ("30", "59.999999")
    )
    rate = (after - before) / 30.0
    certain = {"check": "direct", "reading_u_deg": "0"}
    assert scored(**certain, judged_on="own")["expanded_uncertainty_deg"] == pytest.approx(
        abs(2.0 * 15.0 * rate), rel=0.02
    )
    assert scored(**certain, judged_on="result")["expanded_uncertainty_deg"] == 0.0
    declared = scored(**certain, judged_on="own", student_correction_deg="3")
    assert declared["expanded_uncertainty_deg"] == 0.0


def test_the_clock_and_the_check_are_combined_in_quadrature():
    clock = scored(judged_on="own")["expanded_uncertainty_deg"]
    both = scored(judged_on="own", **LANDMARK)["expanded_uncertainty_deg"]
    check = scored(**LANDMARK)["expanded_uncertainty_deg"]
    assert both == pytest.approx(math.hypot(clock, check))
    assert 0.0 < clock < both


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({"reading_deg": "2"}, "within"),
        ({"reading_deg": "2", "judged_on": "own"}, "outside"),
        ({"reading_deg": "8"}, "too close to call"),
        ({"reading_deg": "8", "rule": "plain"}, "within"),
        ({"reading_deg": "-12"}, "too close to call"),
        ({"reading_deg": "-12", "rule": "plain"}, "outside"),
        ({"reading_deg": "14.1"}, "outside"),
    ],
)
def test_the_verdict_follows_what_is_judged_and_the_rule(changes, verdict):
    assert scored(**changes, reading_u_deg="2")["verdict"] == verdict


def test_the_sun_is_that_of_the_last_mark():
    assert scored()["sun_azimuth_deg"] == scored(
        method="watch", times="2026-05-10T10:15"
    )["sun_azimuth_deg"]  # fmt: skip


def test_the_instant_of_the_observation_is_the_last_recorded_or_computed_one():
    marks, equal = scores_of(row(), row(method="equal-shadow")).observed_at
    assert marks.isoformat() == "2026-05-10T08:15:00+00:00"
    assert equal.isoformat() > "2026-05-10T13"


@pytest.mark.parametrize("lon", ["180", "-180"])
def test_the_date_line_is_a_place_like_any_other(lon):
    result = scored(lon=lon, times="2026-05-10T22:00Z;2026-05-10T22:15Z")
    assert result["problem"] == ""
    assert result["method_error_deg"] == pytest.approx(
        scored(lon="-179.999999", times="2026-05-10T22:00Z;2026-05-10T22:15Z")["method_error_deg"],
        abs=1e-4,
    )


def test_one_row_of_many_marks_changes_no_other():
    many = ";".join(f"2026-05-10T{h:02d}:{m:02d}" for h in range(8, 18) for m in range(60))
    rows = [row(method=name) for name in BY_METHOD]
    with_many = scores_of(*rows, row(times=many))
    assert with_many.columns["problem"][-1] == ""
    for name in NUMBERS:
        assert np.array_equal(
            with_many.columns[name][:-1], scores_of(*rows).columns[name], equal_nan=True
        ), name


ODD = st.one_of(
    st.sampled_from(["", "nan", "1e400", "-0", "a;;b", ";", "0", "1e308", "-1e9", "180", "٣", "\0",
                     "day", "own", "plain", "no", "0:1", "0:60", "Pacific/Apia", "2011-12-30",
                     "2026-06-21T10:30Z", "2026-06-21T00:00Z;2026-06-21T23:59Z", "hands", "shadow",
                     "0001-01-01T00:00+23:59", "2050-12-31T23:59-12:00", "89", "-89"]),
    st.text(max_size=6),
    st.floats().map(repr),
)  # fmt: skip


@settings(max_examples=150)
@given(
    st.sampled_from([*BY_METHOD, *STAR_METHODS]),
    st.sampled_from([{}, COMPASS, SHADOW, LANDMARK, COMPUTED]),
    st.dictionaries(st.sampled_from(COLUMNS), ODD, min_size=1, max_size=3),
)
def test_whatever_stands_in_a_row_it_is_scored_or_refused_and_never_half(method, check, odd):
    odd_row = row(**{"method": method} | check | odd)
    scores = score(table([odd_row, row()]))
    numbers = [scores.columns[name][0] for name in NUMBERS]
    if scores.columns["problem"][0]:
        assert np.isnan(numbers).all()
        assert scores.fault_column[0] in COLUMNS
    else:
        for name in ("laid_true_deg", "error_deg", "method_error_deg", "own_error_deg"):
            assert np.isfinite(scores.columns[name][0]), name
        assert not np.isinf(numbers).any()
        assert scores.columns["verdict"][0]
    assert scores.columns["problem"][1] == ""
    json.dumps(scores.drawing(0), allow_nan=False)
