"""When a method is good at a place: its error and marking scatter for every possible start."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from solar.bearings import wrap_deg
from solar.clock import ONE_DAY, ClockError, local_day, offsets_of_year
from solar.columns import DEGREES_PER_HAND, MARK_U_MM, STICK_M, Attempts
from solar.daylight import OPEN, clearance_deg, crossings
from solar.ephemeris import declination_and_hour_angle
from solar.horizon import TerrainHorizon
from solar.methods import MODULES, Group, equal_shadow, first_last, shadow_tip, watch

NOT_A_TIME = np.datetime64("NaT")


@dataclass(frozen=True)
class Place:
    """Where a drill is held. Degrees and metres; slope acts on the shadow-tip line only."""

    latitude_deg: float
    longitude_deg: float
    zone: ZoneInfo
    elevation_m: float = 0.0
    horizon: TerrainHorizon = OPEN
    slope_deg: float = 0.0
    downhill_deg: float = 0.0


@dataclass(frozen=True)
class Cells:
    """A drill started at each instant: (dates, starts) arrays.

    starts: datetime64[us] UTC, NaT beyond the end of a short local day. error_deg: the
    method's own error, NaN where it does not apply at that hour. scatter_deg: marking scatter,
    NaN for methods without marks.
    """

    dates: list[date]
    starts: np.ndarray
    error_deg: np.ndarray
    scatter_deg: np.ndarray


@dataclass(frozen=True)
class Stretch:
    """Consecutive starts of one local date, the first and the last of them in local time."""

    date: date
    start: datetime
    end: datetime
    worst_error_deg: float
    """The method error of largest magnitude in the stretch, with its sign."""
    scatter_deg: float
    """The largest marking scatter in the stretch; NaN for methods without marks."""


@dataclass
class _Refused:
    """Stands in for faults where only whether a row is refused is of interest."""

    sound: np.ndarray = field(default_factory=lambda: np.array([], dtype=bool))

    def put_where(self, bad, column, what, rows) -> None:
        self.sound[rows[bad]] = False


def cells(
    method: str,
    place: Place,
    *,
    first: date,
    last: date,
    every_min: int = 10,
    interval_min: float = 15.0,
) -> Cells:
    """One method's cells; see `cells_of`."""
    return cells_of(
        (method,), place, first=first, last=last, every_min=every_min, interval_min=interval_min
    )[method]


def cells_of(
    methods: Iterable[str],
    place: Place,
    *,
    first: date,
    last: date,
    every_min: int = 10,
    interval_min: float = 15.0,
) -> dict[str, Cells]:
    """Method error and marking scatter for a drill started every `every_min` minutes.

    first and last: local dates, both included; dates that the zone skips are left out.
    interval_min: between the two marks of a shadow tip. What a start means: the (first) mark,
    or for first and last shadow the beginning of the wait: before the first rise of the date
    for that day's two shadows, up to its last set for those of the night after. Where a method
    cannot be used from that start on, both arrays hold NaN.
    """
    dates, starts = grid(place.zone, first, last, every_min)
    up = np.zeros(starts.shape, dtype=bool)
    there = ~np.isnat(starts)
    up[there] = _is_up(place, starts[there])
    found = {}
    for method in methods:
        error, scatter = np.full((2, *starts.shape), np.nan)
        if method == first_last.NAME:
            error[there], scatter[there] = _first_last(place, dates, starts, there)
        else:
            error[up], scatter[up] = _at(method, place, starts[up], interval_min)
        found[method] = Cells(dates, starts, error, scatter)
    return found


def stretches(found: Cells, place: Place, *, limit_deg: float) -> list[Stretch]:
    """Runs of starts on one date with |method error| <= limit_deg, in order of time."""
    with np.errstate(invalid="ignore"):
        good = np.abs(found.error_deg) <= limit_deg
    edges = np.diff(np.pad(good, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    result = []
    for row, begin in zip(*np.nonzero(edges == 1), strict=True):
        end = begin + int(np.argmax(edges[row, begin:] == -1))
        errors = found.error_deg[row, begin:end]
        scatters = found.scatter_deg[row, begin:end]
        result.append(
            Stretch(
                found.dates[row],
                _local(found.starts[row, begin], place.zone),
                _local(found.starts[row, end - 1], place.zone),
                float(errors[np.argmax(np.abs(errors))]),
                float(scatters.max()),
            )
        )
    return result


def _local(instant: np.datetime64, zone: ZoneInfo) -> datetime:
    return instant.astype(datetime).replace(tzinfo=UTC).astimezone(zone)


def grid(zone: ZoneInfo, first: date, last: date, every_min: int):
    """Local dates, and the instants every so many minutes from their local midnight."""
    dates, starts = [], []
    step = np.timedelta64(every_min, "m")
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        try:
            begin, end = (
                np.datetime64(part.replace(tzinfo=None), "us") for part in local_day(day, zone)
            )
        except ClockError:
            continue
        dates.append(day)
        starts.append(np.arange(begin, end, step))
    most = max((row.size for row in starts), default=0)
    table = np.full((len(starts), most), NOT_A_TIME, dtype="datetime64[us]")
    for row, instants in enumerate(starts):
        table[row, : instants.size] = instants
    return dates, table


def _attempts(method: str, place: Place, times: np.ndarray, **more) -> Attempts:
    """Attempts of one method at one place that differ in nothing but their times."""
    rows = times.shape[0]

    def same(value, dtype=float):
        return np.broadcast_to(np.array(value, dtype=dtype), (rows,))

    horizon = np.empty(1, dtype=object)
    horizon[0] = place.horizon
    given = dict.fromkeys(Attempts.__dataclass_fields__, same(np.nan)) | {
        "method": same(method, object),
        "latitude_deg": same(place.latitude_deg),
        "longitude_deg": same(place.longitude_deg),
        "elevation_m": same(place.elevation_m),
        "slope_deg": same(place.slope_deg),
        "downhill_deg": same(place.downhill_deg),
        "horizon": np.broadcast_to(horizon, (rows,)),
        "times": times,
        "half": same("", object),
        "order": same("", object),
        "degrees_per_hand": same(DEGREES_PER_HAND),
        "rule_deg_per_hand": same(DEGREES_PER_HAND),
        "stick_m": same(STICK_M),
        "mark_u_m": same(MARK_U_MM / 1000.0),
    }
    return Attempts(**(given | more))


def _lay(method: str, place: Place, times: np.ndarray, **more) -> tuple[np.ndarray, np.ndarray]:
    """Method error and scatter of rows of times, NaN where the method refuses them."""
    if not times.size:
        return np.empty(0), np.empty(0)
    refused = _Refused(np.ones(times.shape[0], dtype=bool))
    group = Group(
        _attempts(method, place, times, **more), np.arange(times.shape[0]), times, refused
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        laid = MODULES[method].lay(group)
    if method == equal_shadow.NAME:
        # The second mark is still to be made: a skyline may hide the sun by then.
        refused.sound[~_is_up(place, laid.times[:, 1])] = False
    error = np.where(refused.sound, wrap_deg(laid.north_deg), np.nan)
    return error, np.where(refused.sound, laid.scatter_deg, np.nan)


def _at(method: str, place: Place, starts: np.ndarray, interval_min: float):
    """Error and scatter at starts with the sun up, one dimension."""
    times, more = starts[:, None], {}
    usable = np.ones(starts.size, dtype=bool)
    if method == shadow_tip.NAME:
        second = starts + np.timedelta64(round(interval_min * 60e6), "us")
        times = np.stack([starts, second], axis=1)
        usable = _is_up(place, second)
    elif method == equal_shadow.NAME:
        _, hour_angle = declination_and_hour_angle(starts, longitude_deg=place.longitude_deg)
        usable = hour_angle < 0.0
    elif method == watch.NAME:
        more["watch_hours"] = _watch_hours(starts, place.zone)
    error, scatter = np.full((2, starts.size), np.nan)
    error[usable], scatter[usable] = _lay(method, place, times[usable], **more)
    return error, scatter


def _is_up(place: Place, instants: np.ndarray) -> np.ndarray:
    """Whether the sun is above the horizon."""
    return (
        clearance_deg(
            instants,
            latitude_deg=place.latitude_deg,
            longitude_deg=place.longitude_deg,
            elevation_m=place.elevation_m,
            horizon=place.horizon,
        )
        >= 0.0
    )


def _watch_hours(starts: np.ndarray, zone: ZoneInfo) -> np.ndarray:
    """The clock less its summer advance, hours: UTC and the smaller offset of the local year."""
    hours, of_hour = np.unique(starts.astype("datetime64[h]"), return_inverse=True)
    standard = []
    for hour in hours.tolist():
        local = hour.replace(tzinfo=UTC).astimezone(zone)
        standard.append(offsets_of_year(zone, local.year)[0])
    clock = starts + np.array(standard, dtype="timedelta64[us]")[of_hour]
    return (clock - clock.astype("datetime64[D]")) / np.timedelta64(1, "h")


def _first_last(place: Place, dates: list[date], starts: np.ndarray, there: np.ndarray):
    """Before the first rise of a date its own two shadows, up to its last set the night's."""
    if not dates:
        return np.empty(0), np.empty(0)
    rise, last_set, next_rise = _rises_and_sets(place, dates)
    error, scatter = np.full((2, *starts.shape), np.nan)
    # The night's are laid down first, so that the day's replace them before the first rise.
    for until, shadows in ((last_set, (last_set, next_rise)), (rise, (rise, last_set))):
        times = np.stack(shadows, axis=1)
        usable = ~np.isnat(times).any(axis=1)
        by_date = np.full((2, len(dates)), np.nan)
        by_date[:, usable] = _lay(first_last.NAME, place, times[usable])
        rows, columns = np.nonzero(starts <= until[:, None])
        error[rows, columns], scatter[rows, columns] = by_date[:, rows]
    return error[there], scatter[there]


def _rises_and_sets(place: Place, dates: list[date]):
    """First rise and last set of each date, and the rise within 24 hours after that set."""
    ends = [local_day(day, place.zone) for day in dates]
    # The night of the last date ends on the day after, which the zone may skip.
    ends.append((ends[-1][1], ends[-1][1] + ONE_DAY))
    search = np.array([[part.replace(tzinfo=None) for part in pair] for pair in ends])
    search = search.astype("datetime64[us]")
    found = crossings(
        search[:, 0],
        search[:, 1],
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        elevation_m=place.elevation_m,
        horizon=place.horizon,
    )
    rise = first_last.edge(found, found.rising, len(ends), last=False)[:-1]
    last_set = first_last.edge(found, ~found.rising, len(ends), last=True)[:-1]
    rises = np.append(np.sort(found.instant[found.rising]), NOT_A_TIME)
    next_rise = rises[np.searchsorted(rises[:-1], last_set, side="right")]
    late = next_rise - last_set > first_last.A_DAY
    return rise, last_set, np.where(late | np.isnat(last_set), NOT_A_TIME, next_rise)
