"""The sun and the method's error while a drill runs, every five minutes."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from coursework.method_year import place_of
from coursework.models import Drill, Method
from solar.best_hours import SCATTERS
from solar.daylight import clearance_deg
from solar.ephemeris import sun_position
from solar.windows import Cells, cells

EVERY_MIN = 5
INTERVAL = timedelta(minutes=15)
"""Between the two marks of a shadow tip."""
# Their lines hang on the one start, or on an hour that the method itself chooses.
_AT_START = frozenset({Method.EQUAL_SHADOW, Method.FIRST_LAST})


def instants(drill: Drill) -> np.ndarray:
    """From the start to the end, both included; datetime64 UTC."""
    first = np.datetime64(drill.starts_at.astimezone(UTC).replace(tzinfo=None), "us")
    steps = np.arange(0, drill.minutes, EVERY_MIN).tolist() + [drill.minutes]
    return first + np.array(steps, dtype="timedelta64[m]")


def _place(drill: Drill) -> dict[str, float]:
    site = drill.site
    return {
        "latitude_deg": site.latitude_deg,
        "longitude_deg": site.longitude_deg,
        "elevation_m": site.elevation_m,
    }


def is_up(drill: Drill) -> np.ndarray:
    """Whether the sun stands over the skyline, at each of `instants`."""
    return clearance_deg(instants(drill), **_place(drill), horizon=drill.site.profile) >= 0.0


def sun_height_deg(drill: Drill) -> np.ndarray:
    """True height of the sun at each of `instants`, negative below the horizon."""
    return sun_position(instants(drill), **_place(drill), refraction=False)[1]


@dataclass(frozen=True)
class ErrorOfDrill:
    """The method's error at the moments of a drill at which a line may be begun.

    moments: aware UTC. error_deg: NaN where the method cannot be used; scatter_deg: NaN for
    methods without marks.
    """

    moments: tuple[datetime, ...]
    error_deg: np.ndarray
    scatter_deg: np.ndarray

    @property
    def _usable(self) -> np.ndarray:
        return np.nonzero(~np.isnan(self.error_deg))[0]

    @property
    def _worst(self) -> int | None:
        return int(np.nanargmax(np.abs(self.error_deg))) if self._usable.size else None

    @property
    def worst_deg(self) -> float | None:
        """The error of largest magnitude, with its sign; None where the method is of no use."""
        index = self._worst
        return None if index is None else float(self.error_deg[index])

    @property
    def worst_at(self) -> datetime | None:
        index = self._worst
        return None if index is None else self.moments[index]

    @property
    def _spread_deg(self) -> np.ndarray:
        """How far careful marks turn a line to either side."""
        return SCATTERS * np.nan_to_num(self.scatter_deg, nan=0.0)

    @property
    def least_sure(self) -> tuple[datetime, float, float] | None:
        """The moment at which a wrong line is least sure to be wrong, with the method's error then
        and how far careful marks turn a line to either side (0 for methods without marks)."""
        if not self._usable.size:
            return None
        index = int(np.nanargmin(np.abs(self.error_deg) - self._spread_deg))
        return self.moments[index], float(self.error_deg[index]), float(self._spread_deg[index])

    @property
    def rank_deg(self) -> float | None:
        """The largest |error| + 2 scatter."""
        if self.worst_deg is None:
            return None
        return float(np.nanmax(np.abs(self.error_deg) + self._spread_deg))

    def is_reliably_beyond(self, limit_deg: float) -> bool:
        """Whether even careful marks lay a line beyond the limit, at every moment."""
        wrong = np.abs(self.error_deg) - self._spread_deg > limit_deg
        return bool(wrong[self._usable].all())


def error_of_drill(drill: Drill) -> ErrorOfDrill:
    """For a drill by the sun. Shortest shadow is marked at the best moment, others throughout."""
    site, zone = drill.site, drill.site.zone_info
    first = drill.starts_at.astimezone(zone).date()
    found = cells(
        drill.exercise.method,
        place_of(site),
        first=first,
        last=drill.ends_at.astimezone(zone).date(),
        every_min=EVERY_MIN,
        interval_min=INTERVAL.total_seconds() / 60.0,
    )
    return moments_of(found, drill.exercise.method, drill.starts_at, drill.ends_at)


def moments_of(found: Cells, method: str, first: datetime, last: datetime) -> ErrorOfDrill:
    """Of a drill from `first` to `last` (aware), from the method's cells every EVERY_MIN."""
    starts, error, scatter = (
        found.starts.ravel(),
        found.error_deg.ravel(),
        found.scatter_deg.ravel(),
    )
    begin, end = (
        np.datetime64(at.astimezone(UTC).replace(tzinfo=None), "us") for at in (first, last)
    )
    if method == Method.SHADOW_TIP:
        end = max(begin, end - np.timedelta64(INTERVAL))
    if method in _AT_START:
        end = begin
    step = np.timedelta64(EVERY_MIN, "m")
    # The start itself may lie between two cells: the one before it stands for it.
    within = np.nonzero(~np.isnat(starts) & (starts > begin - step) & (starts <= end))[0]
    if method == Method.SHORTEST_SHADOW:
        usable = within[~np.isnan(error[within])]
        within = usable[[np.argmin(np.abs(error[usable]))]] if usable.size else within[:1]
    moments = tuple(at.astype(datetime).replace(tzinfo=UTC) for at in starts[within])
    return ErrorOfDrill(moments, error[within], scatter[within])
