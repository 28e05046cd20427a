"""First and last shadow: equal lengths laid along the first and the last shadow of a day."""

import numpy as np

from solar.daylight import crossings
from solar.ephemeris import declination_and_hour_angle
from solar.horizon import groups
from solar.methods.base import Group, Laid, bearing_of, scatter_of_two, unit
from solar.sentences import Sentence

NAME = "first-last"
A_DAY = np.timedelta64(24, "h")


def computed_times(group: Group) -> np.ndarray:
    """Rise and set of rows without recorded times, (rows, 2); NaT where times are recorded.

    'day': first rise and last set of the local date. 'night': its last set and the next rise,
    within 24 hours. A date without them is refused.
    """
    times = np.full((group.rows.size, 2), np.datetime64("NaT"), dtype="datetime64[us]")
    order, horizon = group.of("order"), group.of("horizon")
    wanted = np.nonzero(order != "")[0]
    for profile, members in groups(horizon[wanted]):
        some = wanted[members]
        times[some] = _rise_and_set(group, some, profile)
    missing = np.zeros(group.rows.size, dtype=bool)
    missing[wanted] = np.isnat(times[wanted]).any(axis=1)
    group.refuse(
        missing,
        "date",
        lambda i: (
            Sentence("at this place the sun does not both rise and set on this date.")
            if order[i] == "day"
            else Sentence(
                "at this place the sun does not both rise and set in the night that begins on "
                "this date."
            )
        ),
    )
    return times


def _rise_and_set(group: Group, some: np.ndarray, profile) -> np.ndarray:
    search, night = group.of("search")[some], group.of("order")[some] == "night"
    place = {
        name: group.of(name)[some] for name in ("latitude_deg", "longitude_deg", "elevation_m")
    }
    found = crossings(search[:, 0], search[:, 1], horizon=profile, **place)
    rise = edge(found, found.rising, some.size, last=False)
    last_set = edge(found, ~found.rising, some.size, last=True)
    after = night & ~np.isnat(last_set)
    if after.any():
        begin = last_set[after] + np.timedelta64(1, "s")
        later = crossings(
            begin,
            begin + A_DAY,
            horizon=profile,
            **{name: values[after] for name, values in place.items()},
        )
        rise[after] = edge(later, later.rising, int(after.sum()), last=False)
    return np.stack([rise, last_set], axis=1)


def edge(found, wanted: np.ndarray, rows: int, *, last: bool) -> np.ndarray:
    """First or last wanted crossing of each search; NaT where there is none."""
    edge = np.full(rows, np.datetime64("NaT"), dtype="datetime64[us]")
    row, instant = found.row[wanted], found.instant[wanted]
    if not last:  # in order of time, so that writing backwards leaves the first standing
        row, instant = row[::-1], instant[::-1]
    edge[row] = instant
    return edge


def lay(group: Group) -> Laid:
    """East runs from the end of the forenoon shadow to the end of the afternoon one.

    Both are as long as the stick. The forenoon one is that of the smaller hour angle.
    """
    _, hour_angle = declination_and_hour_angle(
        group.times, longitude_deg=group.of("longitude_deg")[:, None]
    )
    forenoon_first = np.argsort(hour_angle, axis=1)
    times = np.take_along_axis(group.times, forenoon_first, axis=1)
    azimuth, elevation = group.sun_at(times)
    group.refuse(
        times[:, 0] == times[:, 1],
        "times",
        lambda i: Sentence("the same time is given twice; two different shadows are needed."),
    )
    points = unit(azimuth + 180.0) * group.of("stick_m")[:, None, None]
    return Laid.of(
        group,
        bearing_of(points[:, 1] - points[:, 0]) - 90.0,
        times,
        azimuth,
        elevation,
        points_m=points,
        scatter_deg=scatter_of_two(points, group.of("mark_u_m")),
    )
