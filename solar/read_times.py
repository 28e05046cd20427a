"""Times, dates and the watch's hours out of columns of text."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache

import numpy as np

from solar.clock import (
    ClockError,
    local_day,
    offsets_of_year,
    resolve_local,
    summer_advance,
    zone_of,
)
from solar.ephemeris import FIRST_YEAR, LAST_YEAR
from solar.faults import Faults
from solar.sentences import Sentence

SHORTEST_GAP = np.timedelta64(60, "s")
"""Least time between two marks of a shadow tip."""
LONGEST_GAP = np.timedelta64(24, "h")
"""Most time between the two shadows of a day or of a night."""

# Written out since datetime.fromisoformat() also takes a week for its Monday, and 10.30 or 10,5
# for ten hours and a fraction of a second.
_DATE_PATTERN = r"(\d{4}-\d\d-\d\d|\d{8}|\d{4}-W\d\d-\d|\d{4}W\d{3})"
_CLOCK_PATTERN = r"\d\d(:\d\d(:\d\d([.,]\d+)?)?|\d\d(\d\d([.,]\d+)?)?)?"
_OFFSET_PATTERN = r"(Z|[+-]\d\d(:\d\d(:\d\d)?|\d\d(\d\d)?)?)?"
_DATE = re.compile(_DATE_PATTERN, re.ASCII)
_TIME = re.compile(f"{_DATE_PATTERN}[T ]{_CLOCK_PATTERN}{_OFFSET_PATTERN}", re.ASCII)

_COUNTS = {
    "shadow-tip": (2, None),
    "first-last": (2, 2),
    "equal-shadow": (1, 2),
    "shortest-shadow": (1, 1),
    "hands": (1, 1),
    "watch": (1, 1),
    "pole-star": (1, 1),
    "southern-cross": (1, 1),
}


@dataclass(frozen=True)
class ReadTimes:
    """Instants by row; see solar.columns.Attempts for the shapes."""

    times: np.ndarray
    search: np.ndarray
    order: np.ndarray
    watch_hours: np.ndarray
    check_time: np.ndarray


@lru_cache(maxsize=50_000)
def parse_time(text: str, zone_name: str) -> datetime:
    """One ISO 8601 time as an aware UTC datetime; ClockError is a sentence about it.

    A time without an offset is one of the clocks of `zone_name`; without a zone it is refused.
    """
    if _DATE.fullmatch(text):
        raise ClockError(Sentence("%(text)s is a date without a time of day.", text=text))
    try:
        if not _TIME.fullmatch(text):
            raise ValueError(text)
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise ClockError(
            Sentence(
                "%(text)s is not an ISO 8601 time, such as 2026-06-21T10:30:00+02:00.", text=text
            )
        ) from error
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise ClockError(
            Sentence(
                "%(text)s: the sun is computed for the years %(first)s to %(last)s only.",
                text=text,
                first=str(FIRST_YEAR),
                last=str(LAST_YEAR),
            )
        )
    if moment.tzinfo is None:
        if not zone_name:
            raise ClockError(Sentence("%(text)s carries no offset, so it needs a zone.", text=text))
        moment = resolve_local(moment, zone_of(zone_name))
    return moment.astimezone(UTC)


def read(
    texts: dict[str, list[str]], method: np.ndarray, check: np.ndarray, faults: Faults
) -> ReadTimes:
    """Read the columns times, date, order, summer_time and check_time of every sound row."""
    rows = len(method)
    _refuse_zones(texts["zone"], faults)
    moments = [_row_times(row, texts, faults) if faults.sound[row] else () for row in range(rows)]
    times = _padded(moments)
    search = np.full((rows, 2), np.datetime64("NaT"), dtype="datetime64[us]")
    order = np.full(rows, "", dtype=object)
    watch_hours = np.full(rows, np.nan)
    check_time = np.full(rows, np.datetime64("NaT"), dtype="datetime64[us]")
    for row in np.nonzero(faults.sound)[0]:
        if method[row] == "first-last" and not moments[row]:
            search[row], order[row] = _row_date(row, texts, faults)
        else:
            _refuse_count(row, texts, method[row], len(moments[row]), faults)
    _refuse_order(times, method, faults)
    for row in np.nonzero(faults.sound & (method == "watch"))[0]:
        watch_hours[row] = _watch_hours(row, texts, moments[row][0], faults)
    needed = np.isin(check, ("compass", "shadow"))
    for row in np.nonzero(faults.sound & needed)[0]:
        check_time[row] = _row_check_time(row, texts, check[row], faults)
    return ReadTimes(times, search, order, watch_hours, check_time)


def _refuse_zones(names: list[str], faults: Faults) -> None:
    for row, name in enumerate(names):
        if name:
            _try(lambda name=name: zone_of(name), row, "zone", faults)


def _try(read_one: Callable, row: int, column: str, faults: Faults):
    """What read_one returns, or None and a fault in its words."""
    try:
        return read_one()
    except ClockError as error:
        faults.put(row, column, error.sentence)
        return None


def _row_times(row, texts, faults) -> tuple[datetime, ...]:
    text = texts["times"][row]
    if not text:
        return ()
    moments = []
    for part in text.split(";"):
        word = part.strip()
        if not word:
            faults.put(row, "times", Sentence("a time is missing beside a semicolon."))
            return ()
        moment = _try(lambda word=word: parse_time(word, texts["zone"][row]), row, "times", faults)
        if moment is None:
            return ()
        moments.append(moment.replace(tzinfo=None))
    return tuple(moments)


def _padded(moments: list[tuple[datetime, ...]]) -> np.ndarray:
    most = max((len(row) for row in moments), default=0)
    padded = [row + (None,) * (most - len(row)) for row in moments]
    return np.array(padded, dtype="datetime64[us]").reshape(len(moments), most)


def _row_date(row, texts, faults):
    """Start and end of the local date of a first-last row without times, and its order."""
    nothing = (np.datetime64("NaT"), np.datetime64("NaT")), ""
    text, order, zone = (texts[name][row] for name in ("date", "order", "zone"))
    for name, value in (("date", text), ("order", order), ("zone", zone)):
        if not value:
            faults.put(row, name, Sentence("first-last needs it where times is blank."))
            return nothing
    if order not in ("day", "night"):
        faults.put(row, "order", Sentence("it must be day or night."))
        return nothing
    try:
        if not _DATE.fullmatch(text):
            raise ValueError(text)
        local_date = date.fromisoformat(text)
    except ValueError:
        faults.put(row, "date", Sentence("it is not an ISO 8601 date, such as 2026-06-21."))
        return nothing
    if not FIRST_YEAR <= local_date.year <= LAST_YEAR:
        faults.put(
            row,
            "date",
            Sentence(
                "the sun is computed for the years %(first)s to %(last)s only.",
                first=str(FIRST_YEAR),
                last=str(LAST_YEAR),
            ),
        )
        return nothing
    ends = _try(lambda: _local_day(local_date, zone), row, "date", faults)
    return (ends, order) if ends else nothing


@lru_cache(maxsize=20_000)
def _local_day(local_date: date, zone: str) -> tuple[np.datetime64, np.datetime64]:
    start, end = local_day(local_date, zone_of(zone))
    return tuple(np.datetime64(part.replace(tzinfo=None), "us") for part in (start, end))


def _refuse_count(row, texts, method, count, faults) -> None:
    least, most = _COUNTS[method]
    if count < least or (most is not None and count > most):
        faults.put(row, "times", _count_demanded(method))


def _count_demanded(method: str) -> Sentence:
    match _COUNTS[method]:
        case (2, None):
            return Sentence("two or more times are needed for %(method)s.", method=method)
        case (2, 2):
            return Sentence(
                "exactly two times are needed, or none with date and order for %(method)s.",
                method=method,
            )
        case (1, 2):
            return Sentence("one time is needed, or two for %(method)s.", method=method)
        case _:
            return Sentence("exactly one time is needed for %(method)s.", method=method)


def _refuse_order(times, method, faults) -> None:
    if times.shape[1] < 2:
        return
    gaps = np.diff(times, axis=1)
    bad = ((gaps < SHORTEST_GAP) & ~np.isnat(gaps)).any(axis=1) & (method == "shadow-tip")
    for row in np.nonzero(bad)[0]:
        faults.put(
            row,
            "times",
            Sentence("marks of a shadow tip must be in order and at least a minute apart."),
        )
    pair = np.isin(method, ("first-last", "equal-shadow")) & ~np.isnat(times[:, 1])
    for row in np.nonzero(pair & (np.abs(times[:, 1] - times[:, 0]) > LONGEST_GAP))[0]:
        faults.put(row, "times", Sentence("the two shadows must be of one day, or of one night."))


def _row_check_time(row, texts, check, faults):
    text = texts["check_time"][row]
    if not text:
        if check == "shadow":
            faults.put(row, "check_time", Sentence("a shadow check requires it."))
        return np.datetime64("NaT")
    moment = _try(lambda: parse_time(text, texts["zone"][row]), row, "check_time", faults)
    return np.datetime64("NaT") if moment is None else np.datetime64(moment.replace(tzinfo=None))


def _watch_hours(row, texts, moment: datetime, faults) -> float:
    """The clock of the zone less its summer advance, in hours since midnight."""
    word, zone_name = texts["summer_time"][row], texts["zone"][row]
    if word not in ("", "yes", "no"):
        faults.put(row, "summer_time", Sentence("it must be yes, no or blank."))
        return np.nan
    if not zone_name and not word:
        faults.put(row, "zone", Sentence("the watch needs it where summer_time is blank too."))
        return np.nan
    instant = moment.replace(tzinfo=UTC)
    advance, usual = timedelta(), timedelta()
    if zone_name:
        zone = zone_of(zone_name)
        local, advance = instant.astimezone(zone), summer_advance(instant, zone)
        lowest, highest = offsets_of_year(zone, local.year)
        usual = highest - lowest
    else:
        # Only the offset written with the time says what the watch showed.
        local = datetime.fromisoformat(texts["times"][row])
    if word == "yes":
        advance = advance or usual or timedelta(hours=1)
    elif word == "no":
        advance = timedelta()
    shown = local.hour + local.minute / 60.0 + (local.second + local.microsecond / 1e6) / 3600.0
    return shown - advance.total_seconds() / 3600.0
