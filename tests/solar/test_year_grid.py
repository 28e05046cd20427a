"""The starts of a year and the clock that they are read by."""

from datetime import date
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from solar.year_grid import SLOTS, year_grid

AUCKLAND = ZoneInfo("Pacific/Auckland")
# The changes of clocks are those of the IANA time zone database (tzdata).
FORWARD, BACK = date(2026, 9, 27), date(2026, 4, 5)


def clock_of(zone, day):
    grid = year_grid(zone, day.year)
    minutes = grid.clock_min[grid.row_of(day)]
    return minutes[minutes >= 0].tolist()


def test_a_common_date_has_every_ten_minutes_of_the_clock():
    assert clock_of(AUCKLAND, date(2026, 1, 1)) == list(range(0, 1440, 10))


def test_a_date_on_which_clocks_go_forward_leaves_an_hour_out():
    minutes = clock_of(AUCKLAND, FORWARD)
    assert len(minutes) == 138
    assert minutes[11:13] == [110, 180]


def test_a_date_on_which_clocks_go_back_shows_an_hour_twice():
    minutes = clock_of(AUCKLAND, BACK)
    assert len(minutes) == 150
    assert minutes[17:19] == [170, 120]
    assert minutes.count(130) == 2


def test_half_an_hour_of_summer_time_is_half_an_hour():
    # Lord Howe Island moves its clocks by 30 minutes.
    assert len(clock_of(ZoneInfo("Australia/Lord_Howe"), BACK)) == 147


def test_a_date_that_begins_at_one_starts_its_clock_there():
    # Cairo's clocks go forward at midnight, on the last Friday of April.
    assert clock_of(ZoneInfo("Africa/Cairo"), date(2026, 4, 24))[0] == 60


def test_a_date_that_the_zone_skips_has_no_row():
    grid = year_grid(ZoneInfo("Pacific/Kwajalein"), 1993)
    assert grid.row_of(date(1993, 8, 21)) is None
    assert len(grid.dates) == 364
    assert grid.day_numbers[-1] == 364


def test_another_year_has_no_row():
    assert year_grid(AUCKLAND, 2026).row_of(date(2025, 12, 31)) is None


def test_names_of_the_zone_change_with_its_clocks():
    assert [name for _at, name in year_grid(AUCKLAND, 2026).names] == ["NZDT", "NZST", "NZDT"]


@pytest.mark.parametrize("day", [FORWARD, BACK, date(2026, 12, 31)])
def test_values_laid_out_by_the_clock_stand_where_the_clock_shows_them(day):
    grid = year_grid(AUCKLAND, 2026)
    laid = grid.by_clock(grid.clock_min, np.int16(-1))
    row = laid[(day - date(2026, 1, 1)).days]
    shown = row[row >= 0]
    assert laid.shape == (365, SLOTS)
    assert np.array_equal(shown, np.nonzero(row >= 0)[0] * 10)
    assert shown.size == 144 - 6 * (day == FORWARD)


def test_of_two_starts_at_one_reading_of_the_clock_the_first_is_laid_out():
    grid = year_grid(AUCKLAND, 2026)
    numbers = np.broadcast_to(np.arange(grid.starts.shape[1]), grid.starts.shape).astype(np.int16)
    row = grid.by_clock(numbers, np.int16(-1))[(BACK - date(2026, 1, 1)).days]
    assert row[13] == 13
    assert row[18] == 24


def test_a_leap_year_has_its_day():
    assert year_grid(AUCKLAND, 2028).days_in_year == 366
