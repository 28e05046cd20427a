"""What a fault of stick or ground does to a line: shadows of a stick as it really stands.

Foot of the stick at the origin, x east, y north, z up, metres. The ground is the plane
z = g.(x, y); the tip lies where the ray past the top of the stick meets it. Lines are true
bearings of what is laid for north, degrees; turns are positive to the right. Only geometry: what
the methods themselves do is in `solar.methods`, and for a faultless stick both agree.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from solar.bearings import bearing_deg, difference_deg
from solar.ephemeris import sun_position, utc_times
from solar.methods.base import bearing_of, scatter_of_two, unit

_MINUTE = np.timedelta64(60_000_000, "us")
_HALF_DAY_MIN = 720
_HALVINGS = 18


class NoShadowError(ValueError):
    """The shadow never lands, or never has the length that is looked for."""


@dataclass(frozen=True, kw_only=True)
class Place:
    """Latitude north and longitude east positive, degrees. The ground falls by slope_deg (0 up
    to 45) towards the true bearing downhill_deg."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float = 0.0
    slope_deg: float = 0.0
    downhill_deg: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Stick:
    """As it stands: its length, and how far its top leans off the vertical, towards where."""

    length_m: float = 1.0
    lean_deg: float = 0.0
    lean_towards_deg: float = 0.0


UPRIGHT = Stick()


def tips(times: Sequence[datetime] | np.ndarray, *, place: Place, stick: Stick) -> np.ndarray:
    """East and north of the foot of the stick at which its shadow ends, (times, 2), metres.

    NoShadowError where the ray never meets the ground.
    """
    found = _tips(times, place, stick)
    if np.isnan(found).any():
        raise NoShadowError("The shadow of this stick never lands.")
    return found


def _tips(times, place: Place, stick: Stick) -> np.ndarray:
    """The same with NaN where the shadow never lands."""
    azimuth, elevation = sun_position(
        utc_times(times),
        latitude_deg=place.latitude_deg,
        longitude_deg=place.longitude_deg,
        elevation_m=place.elevation_m,
    )
    along, rise = unit(azimuth + 180.0), _gradient(place)
    lean = np.radians(stick.lean_deg)
    top = stick.length_m * np.sin(lean) * unit(np.asarray(stick.lean_towards_deg))
    height = stick.length_m * np.cos(lean) - top @ rise
    steepness = np.tan(np.radians(elevation)) + along @ rise
    reach = np.where(steepness > 0.0, height / np.where(steepness > 0.0, steepness, 1.0), np.nan)
    return top + along * np.where(height > 0.0, reach, np.nan)[:, None]


def shadow_tip_line(
    times: Sequence[datetime], *, place: Place, sticks: Sequence[Stick] = (UPRIGHT, UPRIGHT)
) -> float:
    """North by two marks in order of time, each with the stick that stood there then."""
    return _north(*_two_tips(times, place, sticks))


def shadow_tip_scatter_deg(
    times: Sequence[datetime], *, place: Place, mark_u_m: float, stick: Stick = UPRIGHT
) -> float:
    """How far a careful line through two marks scatters when each is set to mark_u_m."""
    points = tips(times, place=place, stick=stick)
    return float(scatter_of_two(points[None], np.asarray(mark_u_m))[0])


def equal_shadow_line(
    forenoon: datetime, *, place: Place, stick: Stick = UPRIGHT, later: Stick | None = None
) -> float:
    """North by the forenoon tip and the first later one as far from the foot, over the ground.

    `later`: the stick that stands there in the afternoon; the same one where None.
    NoShadowError where the shadow does not grow that long within half a day.
    """
    first = tips([forenoon], place=place, stick=stick)[0]
    wanted = _over_ground(first[None], place)[0]
    second = _grown_to(wanted, forenoon, place, later or stick)
    return _north(first, second)


def first_last_line(
    times: Sequence[datetime],
    *,
    place: Place,
    stick: Stick = UPRIGHT,
    lengths_m: tuple[float, float] = (1.0, 1.0),
) -> float:
    """North by lengths laid over the ground along the shadow of the forenoon and the later one.

    times: forenoon first. lengths_m: the two that are laid off, which ought to be equal.
    """
    ends = tips(times, place=place, stick=stick)
    lengths = np.asarray(lengths_m) / _over_ground(ends, place)
    return _north(*(ends * lengths[:, None]))


def shortest_shadow_line(day_from: datetime, *, place: Place, stick: Stick = UPRIGHT) -> float:
    """Bearing of the shadow, foot to tip, when it is shortest over the ground.

    day_from: an instant in the forenoon; the twelve hours after it are looked through.
    """
    times = _minutes_after(day_from)
    shortest = times[int(np.argmin(_lengths(times, place, stick)))]

    def is_shrinking(moment: np.datetime64) -> bool:
        # A minute before against a minute after: at its least the length itself hardly changes.
        sides = np.array([moment - _MINUTE, moment + _MINUTE])
        before, after = _lengths(sides, place, stick)
        return bool(before > after)

    moment = _halved(is_shrinking, shortest - _MINUTE, shortest + _MINUTE)
    return float(bearing_deg(bearing_of(tips([moment], place=place, stick=stick)[0])))


def worst_turn(
    line: Callable[[float], float], *, plain_deg: float, every_deg: float = 10.0
) -> tuple[float, float]:
    """The largest turn of a line away from plain_deg, and the bearing at which it comes.

    line: what is laid when stick or ground leans towards a true bearing, degrees.
    """
    towards = np.arange(0.0, 360.0, every_deg)
    turns = difference_deg([line(float(one)) for one in towards], plain_deg)
    worst = int(np.argmax(np.abs(turns)))
    return float(turns[worst]), float(towards[worst])


def sloping(place: Place, *, slope_deg: float, downhill_deg: float) -> Place:
    """The same place on other ground."""
    return replace(place, slope_deg=slope_deg, downhill_deg=downhill_deg)


def around(middle: datetime, *, apart: timedelta) -> tuple[datetime, datetime]:
    """Two instants with `middle` halfway between them."""
    return middle - apart / 2, middle + apart / 2


def _gradient(place: Place) -> np.ndarray:
    """How the ground rises, metres a metre to the east and to the north."""
    return unit(np.asarray(place.downhill_deg)) * -np.tan(np.radians(place.slope_deg))


def _over_ground(points: np.ndarray, place: Place) -> np.ndarray:
    """Distance of points (n, 2) from the foot, measured along the sloping ground."""
    return np.sqrt((points**2).sum(axis=1) + (points @ _gradient(place)) ** 2)


def _two_tips(times, place: Place, sticks: Sequence[Stick]) -> tuple[np.ndarray, np.ndarray]:
    first, second = (
        tips([moment], place=place, stick=stick)[0]
        for moment, stick in zip(times, sticks, strict=True)
    )
    return first, second


def _north(western: np.ndarray, eastern: np.ndarray) -> float:
    return float(bearing_deg(bearing_of(eastern - western) - 90.0))


def _minutes_after(start: datetime | np.datetime64) -> np.ndarray:
    return utc_times([start])[0] + np.arange(_HALF_DAY_MIN) * _MINUTE


def _lengths(times: np.ndarray, place: Place, stick: Stick) -> np.ndarray:
    """Lengths over the ground; infinite where the sun is down or the shadow never lands."""
    found = _over_ground(_tips(times, place, stick), place)
    return np.where(np.isnan(found), np.inf, found)


def _grown_to(wanted_m: float, forenoon: datetime, place: Place, stick: Stick) -> np.ndarray:
    times = _minutes_after(forenoon)
    lengths = _lengths(times, place, stick)
    shortest = int(np.argmin(lengths))
    longer = np.nonzero(lengths[shortest:] >= wanted_m)[0]
    if not longer.size or not longer[0]:
        raise NoShadowError("The shadow does not grow to that length on this day.")
    high = times[shortest + longer[0]]

    def is_shorter(moment: np.datetime64) -> bool:
        return bool(_lengths(np.array([moment]), place, stick)[0] < wanted_m)

    return tips([_halved(is_shorter, high - _MINUTE, high)], place=place, stick=stick)[0]


def _halved(
    is_before: Callable[[np.datetime64], bool], low: np.datetime64, high: np.datetime64
) -> np.datetime64:
    """The instant between two at which `is_before` stops to hold."""
    for _ in range(_HALVINGS):
        middle = low + (high - low) // 2
        if is_before(middle):
            low = middle
        else:
            high = middle
    return low
