"""The starts of one calendar year, and what the clock of the place shows at each."""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

import numpy as np

from solar.windows import grid

EVERY_MIN = 10
SLOTS = 24 * 60 // EVERY_MIN
NO_TIME = -1


@dataclass(frozen=True)
class YearGrid:
    """(dates, starts) arrays, one row for each local date that the zone has in the year.

    starts: datetime64[us] UTC, every ten minutes from the first instant of the date, NaT beyond
    the end of a short day. clock_min: minutes past midnight that the clock shows then, -1 where
    there is no start; a day of 25 hours shows an hour of them twice, one of 23 leaves them out.
    names: the zone's abbreviations, each with the number of the first cell (row by row) from
    which it holds.
    """

    year: int
    dates: list[date]
    starts: np.ndarray
    clock_min: np.ndarray
    names: tuple[tuple[int, str], ...]

    @property
    def day_numbers(self) -> list[int]:
        """Of each row the number of its date in the year, 0 for 1 January."""
        first = date(self.year, 1, 1)
        return [(day - first).days for day in self.dates]

    @property
    def days_in_year(self) -> int:
        return (date(self.year + 1, 1, 1) - date(self.year, 1, 1)).days

    def row_of(self, day: date) -> int | None:
        """The row of a date; None where the zone skips it or the year is another."""
        return self.dates.index(day) if day in self.dates else None

    def by_clock(self, values: np.ndarray, blank) -> np.ndarray:
        """Values (dates, starts) laid out by (day of the year, ten minutes of the clock).

        The first of two starts at the same reading of the clock is taken.
        """
        laid = np.full((self.days_in_year, SLOTS), blank, dtype=values.dtype)
        days, slots = np.array(self.day_numbers, dtype=int), self.clock_min // EVERY_MIN
        # Backwards, so that of several starts at one place the first stays.
        for column in reversed(range(self.clock_min.shape[1])):
            there = self.clock_min[:, column] >= 0
            laid[days[there], slots[there, column]] = values[there, column]
        return laid


@lru_cache(maxsize=64)
def year_grid(zone: ZoneInfo, year: int) -> YearGrid:
    dates, starts = grid(zone, date(year, 1, 1), date(year, 12, 31), EVERY_MIN)
    clock = np.full(starts.shape, NO_TIME, dtype=np.int16)
    names: list[tuple[int, str]] = []
    for row, instants in enumerate(starts):
        there = instants[~np.isnat(instants)]
        for column, local in _changes(there, zone):
            minute = local.hour * 60 + local.minute
            left = there.size - column
            clock[row, column : there.size] = minute + EVERY_MIN * np.arange(left)
            name = local.tzname() or ""
            if not names or names[-1][1] != name:
                names.append((row * starts.shape[1] + column, name))
    return YearGrid(year, dates, starts, clock, tuple(names))


def _changes(instants: np.ndarray, zone: ZoneInfo):
    """The first start of a date and those at which another offset holds, with local times."""
    first, last = local_of(instants[0], zone), local_of(instants[-1], zone)
    yield 0, first
    if first.utcoffset() == last.utcoffset():
        return
    offset = first.utcoffset()
    for column, instant in enumerate(instants):
        local = local_of(instant, zone)
        if local.utcoffset() != offset:
            offset = local.utcoffset()
            yield column, local


def local_of(instant: np.datetime64, zone: ZoneInfo) -> datetime:
    """A UTC datetime64 as the aware time of a zone."""
    return instant.astype("datetime64[us]").astype(datetime).replace(tzinfo=UTC).astimezone(zone)
