"""Arguments that the commands about a place share; a bad one ends with its own sentence."""

import math
from argparse import ArgumentParser, ArgumentTypeError
from collections.abc import Callable
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from solar.clock import ClockError, offsets_of_year, zone_of
from solar.columns import LARGEST_LATITUDE_DEG
from solar.ephemeris import FIRST_YEAR, LAST_YEAR
from solar.horizon import TerrainHorizon


def number(lowest: float, highest: float, unit: str) -> Callable[[str], float]:
    """A finite number of that range, for `type=`."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not lowest <= value <= highest:
            raise ArgumentTypeError(f"“{text}” is not {lowest:g} to {highest:g} {unit}.")
        return value

    return read


def whole_minutes(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 1440):
        raise ArgumentTypeError(f"“{text}” is not a whole number of minutes from 1 to 1440.")
    return int(text)


def local_date(text: str) -> date:
    try:
        value = date.fromisoformat(text)
    except ValueError as error:
        raise ArgumentTypeError(f"“{text}” is not a date such as 2026-06-21.") from error
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise ArgumentTypeError(f"“{text}” is outside the years {FIRST_YEAR} to {LAST_YEAR}.")
    return value


def zone(text: str) -> ZoneInfo:
    try:
        return zone_of(text)
    except ClockError as error:
        raise ArgumentTypeError(str(error)) from error


def horizon(text: str) -> TerrainHorizon:
    try:
        return TerrainHorizon.parse(text)
    except ValueError as error:
        raise ArgumentTypeError(str(error)) from error


def add_place(parser: ArgumentParser) -> None:
    """--lat, --lon, --elevation-m, --zone and --horizon."""
    largest = LARGEST_LATITUDE_DEG
    parser.add_argument("--lat", type=number(-largest, largest, "degrees"), required=True)
    parser.add_argument("--lon", type=number(-180.0, 180.0, "degrees"), required=True)
    parser.add_argument("--elevation-m", type=number(-500.0, 9000.0, "metres"), default=0.0)
    parser.add_argument("--zone", type=zone, required=True, help="IANA zone of the local times")
    parser.add_argument(
        "--horizon",
        type=horizon,
        default=TerrainHorizon(),
        help="skyline as bearing:elevation pairs, such as '90:4.5 180:12'; flat without it",
    )


def clock_time(local: datetime, pattern: str) -> str:
    """Local time of day; with its offset where the clocks show that time twice."""
    if "%S" in pattern:
        local += timedelta(microseconds=500_000)  # strftime cuts off what should be rounded
    shown = local.strftime(pattern)
    lowest, highest = offsets_of_year(local.tzinfo, local.year)
    if lowest != highest:
        naive = local.replace(tzinfo=None)
        first, second = (naive.replace(tzinfo=local.tzinfo, fold=fold) for fold in (0, 1))
        if first.utcoffset() > second.utcoffset():
            return f"{shown}{local.isoformat()[-6:]}"
    return shown
