"""Lines at two places of the invented school, scored by the code that scores results.

Only numbers, no words: they are kept from one showing to the next.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from assessments.demo.places import MEADOW, SITES, TERRACE
from assessments.sheets.words import Numbers
from solar.daylight import upper_transit
from solar.scoring import score

NORTHERN = next(site for site in SITES if site["name"] == MEADOW)
SOUTHERN = next(site for site in SITES if site["name"] == TERRACE)
DAYS = (date(2026, 3, 20), date(2026, 6, 20), date(2026, 9, 22), date(2026, 12, 21))
TOLERANCE_DEG = 15.0
READING_U_DEG = 1.5
HAND_DEG = 10.0


@dataclass(frozen=True)
class Scored:
    """One scored row: its inputs, the numbers for sentences, the drawing, and the raw columns."""

    row: Mapping[str, Any]
    numbers: Numbers
    drawing: dict
    columns: Mapping[str, Any]


def at(day: date, clock: str, site: dict = NORTHERN) -> datetime:
    """A local time of the site, such as '09:30'."""
    return datetime.combine(day, time.fromisoformat(clock), ZoneInfo(site["zone"]))


def noon_of(day: date, site: dict = NORTHERN) -> datetime:
    """The instant at which the sun passes the meridian of the site on a local date."""
    found = upper_transit([at(day, "12:00", site)], longitude_deg=site["longitude_deg"])[0]
    return found.astype("datetime64[s]").item().replace(tzinfo=UTC)


def row_of(method: str, site: dict, *, times: Sequence[datetime] = (), **more) -> dict[str, Any]:
    """A row of the batch format, checked directly where nothing else is said."""
    return {
        "attempt": "manual",
        "method": method,
        "lat": site["latitude_deg"],
        "lon": site["longitude_deg"],
        "elevation_m": site["elevation_m"],
        "zone": site["zone"],
        "times": list(times),
        "horizon": site.get("horizon", ""),
        "check": "direct",
        "reading_deg": 0.0,
        "tolerance_deg": TOLERANCE_DEG,
    } | more


def scored(row: Mapping[str, Any]) -> Scored:
    """The score of one row; ValueError where it is refused."""
    scores = score({name: [value] for name, value in row.items()})
    columns = {name: values[0] for name, values in scores.columns.items()}
    if columns["problem"]:
        raise ValueError(columns["problem"])
    number = {name: _number(value) for name, value in columns.items() if name != "verdict"}
    return Scored(
        row=row,
        numbers=Numbers(
            method=row["method"],
            target_deg=float(row.get("target_deg") or 0.0),
            laid_deg=number["laid_true_deg"],
            error_deg=number["error_deg"],
            method_error_deg=number["method_error_deg"],
            own_error_deg=number["own_error_deg"],
            expanded_uncertainty_deg=number["expanded_uncertainty_deg"],
            tolerance_deg=float(row["tolerance_deg"]),
            verdict=columns["verdict"],
            counting_error_deg=number["counting_error_deg"],
            marking_scatter_deg=number["marking_scatter_deg"],
        ),
        drawing=scores.drawing(0),
        columns=number,
    )


def method_errors(rows: Sequence[Mapping[str, Any]]) -> list[float | None]:
    """Each row's method error in degrees; None where it is refused."""
    names = sorted({name for row in rows for name in row})
    scores = score({name: [row.get(name) for row in rows] for name in names})
    return [_number(value) for value in scores.columns["method_error_deg"]]


@lru_cache(maxsize=64)
def errors_by_hour(
    method: str, clocks: tuple[str, ...], *, minutes_apart: int = 0, southern: bool = False
) -> tuple[tuple[float | None, ...], ...]:
    """Method errors by clock time (rows) and date of DAYS (columns).

    minutes_apart: between the two marks of a method that takes two; 0 for one time. A hand is
    taken to cover HAND_DEG; the count itself is no part of the method's error.
    """
    site = SOUTHERN if southern else NORTHERN
    more = {"hands": 1.0, "degrees_per_hand": HAND_DEG} if method == "hands" else {}
    rows = [
        row_of(method, site, times=_times(at(day, clock, site), minutes_apart), **more)
        for clock in clocks
        for day in DAYS
    ]
    found = method_errors(rows)
    return tuple(tuple(found[n : n + len(DAYS)]) for n in range(0, len(found), len(DAYS)))


@lru_cache(maxsize=8)
def first_last_errors(order: str) -> tuple[float | None, ...]:
    """Over the skyline of the northern place, by date of DAYS; order is day or night."""
    rows = [row_of("first-last", NORTHERN, date=day.isoformat(), order=order) for day in DAYS]
    return tuple(method_errors(rows))


@lru_cache(maxsize=8)
def shortest_errors(minutes: tuple[int, ...]) -> tuple[tuple[float | None, ...], ...]:
    """By minutes after the sun's noon at which the mark was set (rows) and date (columns)."""
    noons = [noon_of(day).timestamp() for day in DAYS]
    rows = [
        row_of("shortest-shadow", NORTHERN, times=[datetime.fromtimestamp(noon + 60 * after, UTC)])
        for after in minutes
        for noon in noons
    ]
    found = method_errors(rows)
    return tuple(tuple(found[n : n + len(DAYS)]) for n in range(0, len(found), len(DAYS)))


def _times(first: datetime, minutes_apart: int) -> list[datetime]:
    if not minutes_apart:
        return [first]
    second = datetime.fromtimestamp(first.timestamp() + 60 * minutes_apart, UTC)
    return [first, second]


def _number(value: Any) -> float | None:
    if not isinstance(value, float | np.floating):
        return None
    return None if np.isnan(value) else float(value)
