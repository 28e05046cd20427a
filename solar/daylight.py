"""Rise, noon and set at a place, over a flat or a terrain horizon, for many days at once.

Rise and set are the instants at which the upper limb meets the horizon. Over a flat horizon
(no profile given) that is a true centre elevation of -0.8333 degrees (34' refraction and 16'
semi-diameter, the definition of the US Naval Observatory); over a profile p(azimuth) it is an
apparent centre elevation of p - 0.2667.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import ArrayLike

from solar.clock import local_day
from solar.ephemeris import (
    declination_and_hour_angle,
    refraction_deg,
    sun_position,
    utc_times,
)
from solar.horizon import TerrainHorizon, groups

FLAT_RISE_DEG = -0.8333
"""True elevation of the sun's centre when its upper limb is on a flat horizon."""
SEMIDIAMETER_DEG = 0.2667
"""Apparent radius of the sun."""

_STEP_US = 240_000_000  # four minutes: a degree of azimuth outside the tropics
_TINY_US = 10_000  # rise and set are searched to a hundredth of a second
_GRAZE_DEG = 1.2  # the sun can climb no more than this between two samples and sink again
_PIECE_POINTS = 400_000
OPEN = TerrainHorizon()


@dataclass(frozen=True)
class Crossings:
    """Rises and sets of many searches: row numbers, instants (datetime64[us]), which way."""

    row: np.ndarray
    instant: np.ndarray
    rising: np.ndarray
    up_at_start: np.ndarray
    """By search: whether the sun is up when the search begins."""


@dataclass(frozen=True)
class Day:
    """A local date at a place: aware local times, in order; none is a result, not an error."""

    date: date
    rises: tuple[datetime, ...]
    noon: datetime
    sets: tuple[datetime, ...]
    state: str
    """'rises and sets', 'rises', 'sets', 'up all day' or 'down all day'."""


def clearance_deg(
    times: ArrayLike,
    *,
    latitude_deg: ArrayLike,
    longitude_deg: ArrayLike,
    elevation_m: ArrayLike = 0.0,
    horizon: TerrainHorizon = OPEN,
) -> np.ndarray:
    """How far the upper limb stands above the horizon, degrees; negative when the sun is down.

    times: datetime64 UTC; everything broadcasts.
    """
    azimuth, elevation = sun_position(
        times,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        refraction=not horizon.is_open,
    )
    if horizon.is_open:
        return elevation - FLAT_RISE_DEG
    return elevation + SEMIDIAMETER_DEG - horizon.elevation_deg(azimuth)


def clearance_each_deg(
    times: ArrayLike,
    profiles: np.ndarray,
    *,
    latitude_deg: np.ndarray,
    longitude_deg: np.ndarray,
    elevation_m: np.ndarray,
) -> np.ndarray:
    """The same for (rows, instants) of places that each have a horizon of their own.

    times: datetime64 UTC (rows, instants), NaT gives NaN. profiles: (rows,) TerrainHorizon
    objects. Places: (rows,). The sun is computed once for all, whatever the horizons.
    """
    height = np.asarray(elevation_m, dtype=float)[:, None]
    azimuth, elevation = sun_position(
        times,
        latitude_deg=np.asarray(latitude_deg, dtype=float)[:, None],
        longitude_deg=np.asarray(longitude_deg, dtype=float)[:, None],
        elevation_m=height,
        refraction=False,
    )
    clearance = elevation - FLAT_RISE_DEG
    for profile, rows in groups(profiles):
        if not profile.is_open:
            true = elevation[rows]
            apparent = true + refraction_deg(true, elevation_m=height[rows])
            clearance[rows] = apparent + SEMIDIAMETER_DEG - profile.elevation_deg(azimuth[rows])
    return clearance


def crossings(
    start: ArrayLike,
    end: ArrayLike,
    *,
    latitude_deg: ArrayLike,
    longitude_deg: ArrayLike,
    elevation_m: ArrayLike = 0.0,
    horizon: TerrainHorizon = OPEN,
) -> Crossings:
    """Every rise and set in [start, end) of each search, one horizon for all.

    start, end: datetime64 UTC, one dimension; places broadcast to them. Sorted by row and
    instant. A sun that only shows between two samples is found by following its highest
    point, one that only dips behind a peak by following its lowest.
    """
    start = np.atleast_1d(np.asarray(start, dtype="datetime64[us]")).astype("int64")
    end = np.atleast_1d(np.asarray(end, dtype="datetime64[us]")).astype("int64")
    place = [np.broadcast_to(np.asarray(part, dtype=float), start.shape)
             for part in (latitude_deg, longitude_deg, elevation_m)]  # fmt: skip
    if not start.size:
        nothing = np.array([], dtype=int)
        return Crossings(nothing, nothing.astype("datetime64[us]"), nothing > 0, nothing > 0)
    samples = int(np.ceil((end - start).max() / _STEP_US)) + 1
    rows_a_piece = max(1, _PIECE_POINTS // samples)
    found, up = [], []
    for first in range(0, start.size, rows_a_piece):
        rows = slice(first, first + rows_a_piece)
        piece = _Search(start[rows], end[rows], [part[rows] for part in place], horizon, samples)
        row, instant, rising = piece.run()
        found.append((row + first, instant, rising))
        up.append(piece.up_at_start)
    row, instant, rising = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return Crossings(row, instant.astype("datetime64[us]"), rising, np.concatenate(up))


class _Search:
    """One piece of a search for crossings, at most a few hundred thousand samples."""

    def __init__(self, start, end, place, horizon, samples) -> None:
        self.place, self.horizon = place, horizon
        steps = np.arange(samples, dtype="int64") * _STEP_US
        self.times = np.minimum(start[:, None] + steps, end[:, None])
        self.values = self.value(np.arange(start.size)[:, None], self.times)
        self.up_at_start = self.values[:, 0] >= 0.0

    def value(self, row, instants):
        """Clearance at instants (int64 microseconds) of searches; the two broadcast."""
        latitude, longitude, height = (part[row] for part in self.place)
        return clearance_deg(
            instants.astype("datetime64[us]"),
            latitude_deg=latitude,
            longitude_deg=longitude,
            elevation_m=height,
            horizon=self.horizon,
        )

    def run(self):
        brackets = [self._plain(), *self._grazing()]
        row, low, high, at_low, at_high = (
            np.concatenate(parts) for parts in zip(*brackets, strict=True)
        )
        instant = self._root(row, low, high, at_low, at_high)
        rising = at_high >= 0.0
        order = np.lexsort((instant, row))
        return row[order], instant[order], rising[order]

    def _plain(self):
        """Neighbouring samples of which one is up and the other down."""
        up = self.values >= 0.0
        row, left = np.nonzero(up[:, 1:] != up[:, :-1])
        return (
            row,
            self.times[row, left],
            self.times[row, left + 1],
            self.values[row, left],
            self.values[row, left + 1],
        )

    def _grazing(self):
        """Brackets around a show or a dip that falls between samples."""
        before, here, after = self.values[:, :-2], self.values[:, 1:-1], self.values[:, 2:]
        shows = (here < 0) & (here >= before) & (here >= after) & (here > -_GRAZE_DEG)
        shows &= (before < 0) & (after < 0)
        dips = (here >= 0) & (here <= before) & (here <= after) & (here < _GRAZE_DEG)
        dips &= (before >= 0) & (after >= 0)
        row, left = np.nonzero(shows | dips)
        if not row.size:
            return []
        sign = np.where(shows[row, left], 1.0, -1.0)
        low, high = self.times[row, left].copy(), self.times[row, left + 2].copy()
        golden = (np.sqrt(5.0) - 1.0) / 2.0
        while (high - low).max() > 1_000_000:
            inner = ((high - low) * golden).astype("int64")
            nearer, farther = high - inner, low + inner
            better = sign * self.value(row, nearer) > sign * self.value(row, farther)
            low, high = np.where(better, low, nearer), np.where(better, farther, high)
        top = (low + high) // 2
        at_top = self.value(row, top)
        crosses = np.where(sign > 0, at_top >= 0.0, at_top < 0.0)
        row, left, top, at_top = row[crosses], left[crosses], top[crosses], at_top[crosses]
        first, last = self.times[row, left], self.times[row, left + 2]
        at_first, at_last = self.values[row, left], self.values[row, left + 2]
        return [(row, first, top, at_first, at_top), (row, top, last, at_top, at_last)]

    def _root(self, row, low, high, at_low, at_high):
        """The instants of change, by false position kept inside the bracket (Illinois)."""
        low, high = low.astype("int64").copy(), high.astype("int64").copy()
        at_low, at_high = at_low.copy(), at_high.copy()
        active = np.arange(row.size)
        for _ in range(60):
            active = active[high[active] - low[active] > _TINY_US]
            if not active.size:
                break
            a, b, fa, fb = low[active], high[active], at_low[active], at_high[active]
            share = np.clip(fa / (fa - fb), 0.001, 0.999)
            middle = np.clip(a + ((b - a) * share).astype("int64"), a + 1, b - 1)
            value = self.value(row[active], middle)
            same = (value >= 0.0) == (fa >= 0.0)
            low[active] = np.where(same, middle, a)
            high[active] = np.where(same, b, middle)
            # Halving the weight of the end that stayed keeps the other from creeping.
            at_low[active] = np.where(same, value, fa * 0.5)
            at_high[active] = np.where(same, fb * 0.5, value)
        return (low + high) // 2


def upper_transit(times: ArrayLike, *, longitude_deg: ArrayLike) -> np.ndarray:
    """The sun's meridian passage nearest to each instant (datetime64[us], within 12 hours)."""
    instants = utc_times(times)
    for _ in range(4):
        _, hour_angle = declination_and_hour_angle(instants, longitude_deg=longitude_deg)
        turn = (hour_angle * (86_400e6 / 360.0)).astype("int64")
        instants = instants - turn.astype("timedelta64[us]")
    return instants


def day(
    local_date: date,
    *,
    latitude_deg: float,
    longitude_deg: float,
    zone: ZoneInfo,
    elevation_m: float = 0.0,
    horizon: TerrainHorizon = OPEN,
) -> Day:
    """Rises, noon and sets of one local date (ClockError where the zone skips that date)."""
    start, end = local_day(local_date, zone)
    first, last = utc_times([start, end])
    found = crossings(
        [first],
        [last],
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        horizon=horizon,
    )
    rises, sets = (
        tuple(_local(instant, zone) for instant in found.instant[found.rising == way])
        for way in (True, False)
    )
    if rises and sets:
        state = "rises and sets"
    elif rises or sets:
        state = "rises" if rises else "sets"
    else:
        state = "up all day" if found.up_at_start[0] else "down all day"
    noon = upper_transit(first + (last - first) // 2, longitude_deg=longitude_deg)
    return Day(local_date, rises, _local(noon, zone), sets, state)


def _local(instant: np.datetime64, zone: ZoneInfo) -> datetime:
    return instant.astype(datetime).replace(tzinfo=UTC).astimezone(zone)
