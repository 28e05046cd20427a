from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solar.clock import (
    ClockError,
    is_zone,
    local_day,
    offsets_of_year,
    resolve_local,
    summer_advance,
    zone_of,
)

BERLIN = ZoneInfo("Europe/Berlin")
APIA = ZoneInfo("Pacific/Apia")
HOUR = timedelta(hours=1)


@pytest.mark.parametrize("name", ["Europe/Berlin", "UTC", "Australia/Lord_Howe", "Etc/GMT+12"])
def test_zones_of_the_iana_list_are_taken(name):
    assert is_zone(name)
    assert zone_of(name).key == name


@pytest.mark.parametrize(
    "name",
    ["", "Middle/Nowhere", "Europe", "Europe/", "europe/berlin", "../etc/passwd", "/etc/passwd",
     "zone.tab", "a\0b", "x" * 5000, "\ud800", "localtime", "posixrules", "right/UTC",
     "posix/UTC", "Factory", "+02:00"],
)  # fmt: skip
def test_anything_else_is_no_zone_and_the_error_names_it(name):
    assert not is_zone(name)
    with pytest.raises(ClockError) as error:
        zone_of(name)
    assert f"“{name}” is not an IANA time zone." == str(error.value)


def test_a_time_in_the_gap_of_spring_does_not_exist():
    with pytest.raises(ClockError, match="does not exist in Europe/Berlin"):
        resolve_local(datetime(2026, 3, 29, 2, 30), BERLIN)


def test_a_time_in_the_overlap_of_autumn_exists_twice():
    with pytest.raises(ClockError, match="exists twice in Europe/Berlin"):
        resolve_local(datetime(2026, 10, 25, 2, 30), BERLIN)


@pytest.mark.parametrize(
    ("naive", "hours"),
    [
        (datetime(2026, 3, 29, 1, 59, 59), 1),
        (datetime(2026, 3, 29, 3, 0), 2),
        (datetime(2026, 10, 25, 1, 59, 59), 2),
        (datetime(2026, 10, 25, 3, 0), 1),
    ],
)
def test_times_next_to_a_change_of_clocks_are_plain(naive, hours):
    assert resolve_local(naive, BERLIN).utcoffset() == hours * HOUR


def test_a_time_on_a_date_that_the_calendar_skipped_does_not_exist():
    with pytest.raises(ClockError, match="does not exist"):
        resolve_local(datetime(2011, 12, 30, 10), APIA)


@given(st.datetimes(datetime(1990, 1, 1), datetime(2050, 12, 31)))
def test_a_time_that_is_resolved_shows_on_the_clocks_of_its_zone(naive):
    for zone in (BERLIN, APIA, ZoneInfo("Australia/Lord_Howe")):
        try:
            moment = resolve_local(naive, zone)
        except ClockError:
            continue
        assert moment.astimezone(UTC).astimezone(zone).replace(tzinfo=None) == naive


@pytest.mark.parametrize(
    ("zone", "day", "hours"),
    [
        ("Europe/Berlin", date(2026, 3, 28), 24),
        ("Europe/Berlin", date(2026, 3, 29), 23),
        ("Europe/Berlin", date(2026, 10, 25), 25),
        ("Australia/Lord_Howe", date(2026, 4, 5), 24.5),
        ("Africa/Cairo", date(2026, 4, 24), 23),  # the clocks go forward over midnight itself
        ("Pacific/Apia", date(2011, 12, 29), 24),
    ],
)
def test_a_local_day_is_as_long_as_its_clocks_make_it(zone, day, hours):
    start, end = local_day(day, ZoneInfo(zone))
    assert (end - start) == hours * HOUR


@pytest.mark.parametrize(
    ("zone", "day"),
    [("Pacific/Apia", date(2011, 12, 30)), ("Pacific/Kiritimati", date(1994, 12, 31))],
)
def test_a_date_that_the_date_line_moved_over_does_not_exist(zone, day):
    with pytest.raises(ClockError, match=f"{day} does not exist in {zone}: the calendar skips it"):
        local_day(day, ZoneInfo(zone))


@pytest.mark.parametrize(
    ("zone", "summer", "advance_min"),
    [
        ("Europe/Berlin", datetime(2026, 7, 1, tzinfo=UTC), 60),
        ("Europe/Berlin", datetime(2026, 1, 1, tzinfo=UTC), 0),
        # Its zone file calls the winter the exception: the flag would say the opposite.
        ("Europe/Dublin", datetime(2026, 7, 1, tzinfo=UTC), 60),
        ("Europe/Dublin", datetime(2026, 1, 1, tzinfo=UTC), 0),
        ("Australia/Lord_Howe", datetime(2026, 1, 1, tzinfo=UTC), 30),
        ("Australia/Lord_Howe", datetime(2026, 7, 1, tzinfo=UTC), 0),
        ("Pacific/Auckland", datetime(2026, 12, 1, tzinfo=UTC), 60),
        ("Asia/Tokyo", datetime(2026, 7, 1, tzinfo=UTC), 0),
        ("America/Sao_Paulo", datetime(2026, 1, 1, tzinfo=UTC), 0),
        ("America/Sao_Paulo", datetime(2010, 1, 1, 12, tzinfo=UTC), 60),
    ],
)
def test_summer_advance_is_the_offset_less_the_smaller_one_of_the_year(zone, summer, advance_min):
    assert summer_advance(summer, ZoneInfo(zone)) == timedelta(minutes=advance_min)


def test_the_year_of_the_summer_advance_is_the_local_one():
    # 31 December by UTC, 1 January on the clocks: a year in which the zone had one offset only.
    zone = ZoneInfo("America/Sao_Paulo")
    assert offsets_of_year(zone, 2019) == (-3 * HOUR, -2 * HOUR)
    assert offsets_of_year(zone, 2020) == (-3 * HOUR, -3 * HOUR)
