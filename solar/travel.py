"""Travel without the sun: distances, compass legs and positions, against what was measured.

Distances and azimuths are geodesics on the WGS 84 ellipsoid (pyproj, which solves them as
C. F. F. Karney, "Algorithms for geodesics", J. Geodesy 87, 43-55, 2013, does). Angles are
degrees, bearings clockwise from true north in [0, 360), errors in (-180, 180] and positive to
the right; latitudes positive north, longitudes positive east. Arguments broadcast.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from pyproj import Geod

from solar.bearings import bearing_deg, difference_deg
from solar.decision import COVERAGE

WGS84 = Geod(ellps="WGS84")

MEASURED_U_PERCENT = 1.0
"""Standard uncertainty of a measured distance where none is given (common practice)."""
POINT_U_M = 5.0
"""Standard uncertainty, north and east each, of a point where none is given: a hand-held
satellite receiver under open sky (common practice)."""
SHORTEST_LEG_M = 10.0
"""A leg shorter than this has no bearing that anyone could walk."""
SHORTEST_WALK_M = 1.0
"""Someone who ends nearer than this to the start has walked in no direction."""


@dataclass(frozen=True)
class Distance:
    """A distance that was told, against the measured one.

    told_m: metres. error_percent: of the measured distance, positive where too much was told.
    expanded_u_percent: that of the error, two standard uncertainties of the measured distance.
    """

    told_m: np.ndarray
    error_percent: np.ndarray
    expanded_u_percent: np.ndarray


@dataclass(frozen=True)
class Leg:
    """Where a leg ended, against where it should have.

    leg_m, leg_bearing_deg: from the start to the goal; walked_m, walked_bearing_deg: from the
    start to the arrival, straight. bearing_error_deg: the second bearing less the first.
    along_m: past the goal positive, short of it negative. across_m: right of the leg positive.
    offset_m: from the goal to the arrival. NaN where a leg or a walk is too short for a bearing.
    """

    leg_m: np.ndarray
    leg_bearing_deg: np.ndarray
    walked_m: np.ndarray
    walked_bearing_deg: np.ndarray
    bearing_error_deg: np.ndarray
    along_m: np.ndarray
    across_m: np.ndarray
    offset_m: np.ndarray
    expanded_u_bearing_deg: np.ndarray
    expanded_u_offset_m: np.ndarray


@dataclass(frozen=True)
class Position:
    """A plotted point against the true one: metres between them, and the bearing from the true
    point to the plotted one (NaN where both are one point)."""

    distance_m: np.ndarray
    bearing_deg: np.ndarray
    expanded_u_m: np.ndarray


def paced_m(paces: ArrayLike, *, paces_per_100_m: ArrayLike) -> np.ndarray:
    """The distance that a count of paces stands for, metres, by the walker's own count for 100 m.

    Both counts must count alike: every step, or every second one.
    """
    return 100.0 * np.asarray(paces, dtype=float) / np.asarray(paces_per_100_m, dtype=float)


def distance_error(
    *,
    told_m: ArrayLike,
    measured_m: ArrayLike,
    measured_u_m: ArrayLike = np.nan,
    measured_u_percent: ArrayLike = np.nan,
) -> Distance:
    """The error of a told distance in percent of the measured one; both more than 0 metres.

    measured_u_m, measured_u_percent: standard uncertainty of the measured distance, of which
    the first counts where both are given and `MEASURED_U_PERCENT` where neither is (NaN).
    For e = 100 (told / measured - 1) the law of propagation (JCGM 100:2008, 5.1.2) gives
    u(e) = 100 told / measured^2 u(measured).
    """
    told, measured, u_m, u_percent = np.broadcast_arrays(
        *(
            np.asarray(value, dtype=float)
            for value in (told_m, measured_m, measured_u_m, measured_u_percent)
        )
    )
    u_percent = np.where(np.isnan(u_percent), MEASURED_U_PERCENT, u_percent)
    u_m = np.where(np.isnan(u_m), measured * u_percent / 100.0, u_m)
    return Distance(
        told_m=told,
        error_percent=100.0 * (told - measured) / measured,
        expanded_u_percent=COVERAGE * 100.0 * told / measured**2 * u_m,
    )


def leg_error(
    *,
    start_latitude_deg: ArrayLike,
    start_longitude_deg: ArrayLike,
    goal_latitude_deg: ArrayLike,
    goal_longitude_deg: ArrayLike,
    arrival_latitude_deg: ArrayLike,
    arrival_longitude_deg: ArrayLike,
    point_u_m: ArrayLike = POINT_U_M,
    arrival_u_m: ArrayLike = POINT_U_M,
) -> Leg:
    """A compass leg by geodesics between start, goal and arrival.

    Along and across are the offset from the goal taken apart in the direction in which the
    leg's geodesic reaches the goal, so that offset_m = hypot(along_m, across_m).
    point_u_m: standard uncertainty of start and goal, arrival_u_m that of the arrival, metres,
    north and east each. The start moves both bearings alike as far as the two lines are alike:
    u^2 = (u_arrival / walked)^2 + (u_point / leg)^2 + u_point^2 |n_w / walked - n_l / leg|^2
    with n the unit vectors across the lines (JCGM 100:2008, 5.1.2), in radians.
    """
    start = (start_longitude_deg, start_latitude_deg)
    goal = (goal_longitude_deg, goal_latitude_deg)
    arrival = (arrival_longitude_deg, arrival_latitude_deg)
    leg_bearing, at_goal, leg_m = _geodesic(start, goal)
    walked_bearing, _, walked_m = _geodesic(start, arrival)
    miss_bearing, _, offset_m = _geodesic(goal, arrival)
    turn = np.radians(miss_bearing - at_goal)
    error = difference_deg(walked_bearing, leg_bearing)
    no_leg, no_walk = leg_m < SHORTEST_LEG_M, walked_m < SHORTEST_WALK_M
    point_u, arrival_u = (np.asarray(value, dtype=float) for value in (point_u_m, arrival_u_m))
    with np.errstate(divide="ignore", invalid="ignore"):
        shared = 1.0 / walked_m**2 + 1.0 / leg_m**2
        shared = shared - 2.0 * np.cos(np.radians(error)) / (walked_m * leg_m)
        squares = (arrival_u / walked_m) ** 2 + (point_u / leg_m) ** 2
        squares = squares + point_u**2 * np.maximum(shared, 0.0)
        u_bearing = np.degrees(np.sqrt(squares))
    unknown = no_leg | no_walk
    return Leg(
        leg_m=leg_m,
        leg_bearing_deg=np.where(no_leg, np.nan, bearing_deg(leg_bearing)),
        walked_m=walked_m,
        walked_bearing_deg=np.where(no_walk, np.nan, bearing_deg(walked_bearing)),
        bearing_error_deg=np.where(unknown, np.nan, error),
        along_m=np.where(no_leg, np.nan, offset_m * np.cos(turn)),
        across_m=np.where(no_leg, np.nan, offset_m * np.sin(turn)),
        offset_m=offset_m,
        expanded_u_bearing_deg=np.where(unknown, np.nan, COVERAGE * u_bearing),
        expanded_u_offset_m=COVERAGE * np.hypot(point_u, arrival_u) * np.ones_like(offset_m),
    )


def position_error(
    *,
    true_latitude_deg: ArrayLike,
    true_longitude_deg: ArrayLike,
    plotted_latitude_deg: ArrayLike,
    plotted_longitude_deg: ArrayLike,
    point_u_m: ArrayLike = POINT_U_M,
) -> Position:
    """A plotted position against the true one, by the geodesic.

    point_u_m: standard uncertainty of the true point, metres, north and east each; what the
    plotter could not read any finer from the map is the plotter's own.
    """
    true = (true_longitude_deg, true_latitude_deg)
    plotted = (plotted_longitude_deg, plotted_latitude_deg)
    bearing, _, distance_m = _geodesic(true, plotted)
    return Position(
        distance_m=distance_m,
        bearing_deg=np.where(distance_m > 0.0, bearing_deg(bearing), np.nan),
        expanded_u_m=COVERAGE * np.asarray(point_u_m, dtype=float) * np.ones_like(distance_m),
    )


def _geodesic(first, second) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Azimuths at both ends, both forwards, and metres; each end is (longitude, latitude)."""
    ends = np.broadcast_arrays(*(np.asarray(value, dtype=float) for value in (*first, *second)))
    there, back, metres = WGS84.inv(*ends)
    return np.asarray(there), np.asarray(back) + 180.0, np.asarray(metres)
