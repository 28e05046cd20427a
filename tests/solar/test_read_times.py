from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar.clock import ClockError
from solar.columns import read
from solar.read_times import parse_time
from tests.solar.rows import COMPUTED, SHADOW, problem, row, scored, table

TEN = datetime(2026, 6, 21, 10, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    "text",
    ["2026-06-21T10:30:00Z", "2026-06-21T10:30Z", "2026-06-21 10:30+00:00", "20260621T103000Z",
     "2026-06-21T12:30+02:00", "2026-06-21T12:30+0200", "2026-06-21T12:30+02", "2026-W25-7T10:30Z",
     "2026-06-21T10:30:00,0Z", "2026-06-21T10:30:00.000Z", "2026-06-22T10:29+23:59"],
)  # fmt: skip
def test_iso_8601_in_all_its_spellings_is_one_instant(text):
    assert parse_time(text, "") == TEN


@pytest.mark.parametrize(
    "text",
    ["noonish", "", "10:30", "T10:30", "2026-06-21T", "2026-13-01T10:00Z", "2026-02-29T10:00Z",
     "2026-06-21T25:00Z", "2026-06-21T10:60Z", "2026-06-30T23:59:60Z", "2026-06-21T10:30+24:00",
     "2026-06-21T10:30:00z", "21/06/2026 10:30", "2026-06-21T10.30Z", "2026-06-21T10,5Z",
     "2026-06-21T10:30.5Z", "2026-W25T10:30Z", "2026-06-21x10:30 Z", "２０２６-06-21T10:30Z",
     "2026-06T10:00Z", "💥T", "\x00"],
)  # fmt: skip
def test_what_is_no_iso_8601_time_is_called_that(text):
    with pytest.raises(ClockError, match="is not an ISO 8601 time"):
        parse_time(text, "Europe/Berlin")


@pytest.mark.parametrize("text", ["2026-06-21", "20260621", "2026-W25-7"])
def test_a_date_without_a_time_of_day_is_not_a_time(text):
    with pytest.raises(ClockError, match="is a date without a time of day"):
        parse_time(text, "Europe/Berlin")


@pytest.mark.parametrize(
    "text",
    ["1989-12-31T23:59:59Z", "2051-01-01T00:00Z", "0001-01-01T00:00+23:59", "9999-12-31T23:59Z",
     "0001-01-01T00:00", "9999-12-31T23:59-23:59"],
)  # fmt: skip
def test_years_without_a_sun_are_refused(text):
    with pytest.raises(ClockError, match="1990 to 2050 only"):
        parse_time(text, "Europe/Berlin")


@pytest.mark.parametrize(
    "text",
    ["1990-01-01T00:00Z", "2050-12-31T23:59:59Z", "1990-01-01T00:00+14:00",
     "2050-12-31T23:59-12:00"],
)  # fmt: skip
def test_the_first_and_the_last_instant_of_those_years_are_taken(text):
    assert parse_time(text, "").tzinfo is UTC


def test_a_time_without_an_offset_is_one_of_the_zones_clocks():
    assert parse_time("2026-06-21T12:30", "Europe/Berlin") == TEN


def test_a_time_without_an_offset_and_without_a_zone_is_never_guessed():
    with pytest.raises(ClockError, match="carries no offset, so it needs a zone"):
        parse_time("2026-06-21T12:30", "")


def test_an_offset_settles_a_time_that_the_clocks_showed_twice():
    assert parse_time("2026-10-25T02:30+02:00", "Europe/Berlin") == datetime(
        2026, 10, 25, 0, 30, tzinfo=UTC
    )


def test_an_offset_wins_over_the_zone():
    assert parse_time("2026-06-21T10:30Z", "Pacific/Auckland") == TEN


@given(st.datetimes(datetime(1990, 1, 2), datetime(2050, 12, 30)), st.integers(-1439, 1439))
def test_what_python_writes_reads_back_the_same(naive, minutes):
    written = naive.replace(tzinfo=UTC) + timedelta(minutes=minutes)
    assert parse_time(written.isoformat(), "") == written


@given(st.text(max_size=25))
def test_any_text_is_a_time_or_a_sentence(text):
    try:
        assert parse_time(text, "Europe/Berlin").tzinfo is UTC
    except ClockError as error:
        assert str(error).endswith(".")


@pytest.mark.parametrize("times", ["2026-05-10T10:00;", ";", "2026-05-10T10:00;;2026-05-10T10:15"])
def test_a_superfluous_semicolon_is_pointed_out(times):
    assert "a time is missing beside a semicolon" in problem(times=times)


def test_blanks_around_a_time_do_not_count():
    assert problem(times=" 2026-05-10T10:00 ; 2026-05-10T10:15 ") == ""


@pytest.mark.parametrize(
    ("method", "marks", "word"),
    [
        ("shadow-tip", 0, "two or more"), ("shadow-tip", 1, "two or more"),
        ("first-last", 1, "exactly two"), ("first-last", 3, "exactly two"),
        ("equal-shadow", 0, "one time"), ("equal-shadow", 3, "one time"),
        ("shortest-shadow", 0, "exactly one"), ("shortest-shadow", 2, "exactly one"),
        ("hands", 0, "exactly one"), ("hands", 2, "exactly one"),
        ("watch", 0, "exactly one"), ("watch", 2, "exactly one"),
    ],
)  # fmt: skip
def test_each_method_says_how_many_times_it_needs(method, marks, word):
    times = ";".join(f"2026-05-10T10:{15 * mark:02d}" for mark in range(marks))
    result = scored(method=method, times=times, hands="3")
    assert word in result["problem"]
    assert result["fault_column"] == "times"


@pytest.mark.parametrize(
    ("second", "refused"),
    [("10:01:00", False), ("10:00:59.999", True), ("10:00:00", True), ("09:59:00", True)],
)
def test_marks_of_a_shadow_tip_are_in_order_and_a_minute_apart(second, refused):
    sentence = problem(times=f"2026-05-10T10:00;2026-05-10T{second}")
    assert ("in order and at least a minute apart" in sentence) is refused


def test_one_mark_out_of_order_among_many_is_found():
    times = ";".join(f"2026-05-10T10:{minute}" for minute in ("00", "10", "09", "20"))
    assert "in order" in problem(times=times)


def test_first_and_last_shadow_may_be_written_in_either_order():
    forward = scored(method="first-last", times="2026-05-10T07:00;2026-05-10T19:30")
    backward = scored(method="first-last", times="2026-05-10T19:30;2026-05-10T07:00")
    assert forward == backward


def test_a_computed_day_lasts_from_midnight_to_midnight_of_the_zone():
    attempts, _ = read(table([row(**COMPUTED), row(**COMPUTED | {"date": "2026-03-29"})]))
    assert attempts.search[0].tolist() == [datetime(2026, 5, 9, 22), datetime(2026, 5, 10, 22)]
    assert attempts.search[1].tolist() == [datetime(2026, 3, 28, 23), datetime(2026, 3, 29, 22)]


@pytest.mark.parametrize(
    ("column", "value", "word"),
    [
        ("date", "", "first-last needs it"), ("order", "", "first-last needs it"),
        ("zone", "", "first-last needs it"), ("order", "evening", "must be day or night"),
        ("date", "2026-02-30", "not an ISO 8601 date"), ("date", "2026-W19", "not an ISO"),
        ("date", "2026-05", "not an ISO"), ("date", "10.5.2026", "not an ISO 8601"),
        ("date", "2026-05-10T07:00", "not an ISO 8601 date"),
        ("date", "1989-12-31", "1990 to 2050"), ("date", "2051-01-01", "1990 to 2050"),
        ("date", "0001-01-01", "1990 to 2050"), ("date", "9999-12-31", "1990 to 2050"),
    ],
)  # fmt: skip
def test_a_computed_first_last_needs_a_date_an_order_and_a_zone(column, value, word):
    result = scored(**COMPUTED | {column: value})
    assert word in result["problem"]
    assert result["fault_column"] == column


@pytest.mark.parametrize("date", ["1990-01-01", "2050-12-31", "20260510", "2026-W19-7"])
@pytest.mark.parametrize("order", ["day", "night"])
def test_dates_at_the_ends_and_in_other_spellings_are_taken(date, order):
    assert problem(**COMPUTED | {"date": date, "order": order}) == ""


def test_a_date_that_the_zone_skips_is_refused_as_such():
    sentence = (
        problem(**COMPUTED, zone="Pacific/Apia", lat="-13.8", lon="-171.8"),
        problem(
            **COMPUTED | {"date": "2011-12-30"}, zone="Pacific/Apia", lat="-13.8", lon="-171.8"
        ),
    )
    assert sentence[0] == ""
    assert "the calendar skips it" in sentence[1]


def test_recorded_times_make_date_and_order_superfluous():
    assert problem(method="first-last", date="rubbish", order="rubbish") == ""


def test_a_shadow_check_has_a_time_of_its_own():
    result = scored(**SHADOW | {"check_time": ""})
    assert result["fault_column"] == "check_time"
    assert "a shadow check requires it" in result["problem"]


@pytest.mark.parametrize("check", ["compass", "shadow"])
def test_a_check_time_that_cannot_be_read_is_refused(check):
    result = scored(check=check, check_time="soon")
    assert (result["fault_column"], "ISO 8601" in result["problem"]) == ("check_time", True)


def watch(**changes):
    attempts, faults = read(table([row(method="watch", **changes)]))
    return float(attempts.watch_hours[0]), faults.sentence[0]


@pytest.mark.parametrize(
    ("changes", "hours"),
    [
        ({}, 9.0),  # ten by summer time
        ({"summer_time": "yes"}, 9.0),
        ({"summer_time": "no"}, 10.0),
        ({"times": "2026-01-10T10:00"}, 10.0),
        ({"times": "2026-01-10T10:00", "summer_time": "yes"}, 9.0),
        ({"times": "2026-05-10T08:00Z"}, 9.0),
        ({"times": "2026-05-10T05:00-03:00"}, 9.0),
        ({"times": "2026-05-10T10:07:30.5"}, 9.0 + 7.5 / 60 + 0.5 / 3600),
        ({"zone": "", "times": "2026-05-10T10:00+02:00", "summer_time": "yes"}, 9.0),
        ({"zone": "", "times": "2026-05-10T10:00+02:00", "summer_time": "no"}, 10.0),
        ({"zone": "", "times": "2026-05-10T08:00Z", "summer_time": "no"}, 8.0),
        ({"zone": "Europe/Dublin"}, 9.0),
        ({"zone": "Europe/Dublin", "times": "2026-01-10T10:00"}, 10.0),
        ({"zone": "Europe/Dublin", "times": "2026-01-10T10:00", "summer_time": "yes"}, 9.0),
        ({"zone": "Australia/Lord_Howe", "times": "2026-01-10T10:00"}, 9.5),
        ({"zone": "Australia/Lord_Howe", "times": "2026-06-10T10:00"}, 10.0),
        ({"zone": "Australia/Lord_Howe", "times": "2026-06-10T10:00", "summer_time": "yes"}, 9.5),
        ({"zone": "Asia/Tokyo", "times": "2026-06-10T10:00"}, 10.0),
        ({"zone": "Asia/Tokyo", "times": "2026-06-10T10:00", "summer_time": "yes"}, 9.0),
    ],
)
def test_the_watch_shows_the_zones_clock_less_its_summer_advance(changes, hours):
    assert watch(**changes) == (pytest.approx(hours), "")


def test_a_watch_without_a_zone_must_say_whether_it_was_summer_time():
    result = scored(method="watch", zone="", times="2026-05-10T10:00+02:00")
    assert result["problem"] == "zone is blank: the watch needs it where summer_time is blank too."


def test_summer_time_is_yes_or_no_and_counts_for_the_watch_only():
    assert "must be yes, no or blank" in problem(method="watch", summer_time="maybe")
    assert problem(method="hands", hands="3", summer_time="maybe") == ""


def test_times_are_padded_to_the_longest_row():
    attempts, _ = read(table([row(), row(method="watch")]))
    assert attempts.times.shape == (2, 2)
    assert np.isnat(attempts.times[1]).tolist() == [False, True]


@pytest.mark.parametrize("method", ["first-last", "equal-shadow"])
@pytest.mark.parametrize(
    ("second", "sentence"),
    [("2026-06-22T08:00:00Z", ""), ("2026-06-22T08:00:01Z", "of one day, or of one night")],
)
def test_two_shadows_lie_within_a_day_of_each_other(method, second, sentence):
    times = f"2026-06-21T08:00:00Z;{second}"
    _, faults = read(table([row(method=method, times=times)]))
    assert sentence in faults.sentence[0]
    assert bool(faults.sound[0]) is not bool(sentence)
