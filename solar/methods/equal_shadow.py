"""Equal shadows: the tip is marked in the forenoon, and again when the shadow is as long."""

import numpy as np

from solar.daylight import upper_transit
from solar.ephemeris import declination_and_hour_angle, sun_position
from solar.methods.base import Group, Laid, bearing_of, refuse_long_shadows, scatter_of_two, unit
from solar.sentences import Sentence

NAME = "equal-shadow"
_STEPS = 5
_CLOSE_DEG = 1e-6
_HALF_DAY = np.timedelta64(12, "h")


def lay(group: Group) -> Laid:
    """East runs from the end of the forenoon shadow to the end of the afternoon one.

    Equal lengths (that of the forenoon shadow) are laid along both. Without a recorded
    afternoon time the instant is taken at which the sun comes down to the same elevation.
    """
    times = _both_times(group)
    azimuth, elevation = group.sun_at(times)
    refuse_long_shadows(group, elevation)
    with np.errstate(divide="ignore"):
        length = group.of("stick_m") / np.tan(np.radians(elevation[:, 0]))
    points = unit(azimuth + 180.0) * length[:, None, None]
    return Laid.of(
        group,
        bearing_of(unit(azimuth[:, 1] + 180.0) - unit(azimuth[:, 0] + 180.0)) - 90.0,
        times,
        azimuth,
        elevation,
        points_m=points,
        scatter_deg=scatter_of_two(points, group.of("mark_u_m")),
    )


def _both_times(group: Group) -> np.ndarray:
    longitude = group.of("longitude_deg")
    forenoon = group.times[:, 0]
    _, hour_angle = declination_and_hour_angle(forenoon, longitude_deg=longitude)
    group.refuse(
        hour_angle >= 0.0,
        "times",
        lambda i: Sentence(
            "the first mark of equal shadows is made in the forenoon; at this time "
            "the sun was past its highest."
        ),
    )
    recorded = group.times[:, 1] if group.times.shape[1] > 1 else np.full_like(forenoon, "NaT")
    _, later_angle = declination_and_hour_angle(
        np.where(np.isnat(recorded), forenoon, recorded), longitude_deg=longitude
    )
    group.refuse(
        ~np.isnat(recorded) & ((later_angle <= 0.0) | (recorded <= forenoon)),
        "times",
        lambda i: Sentence(
            "the second mark of equal shadows is made in the afternoon; at this time "
            "the sun was not past its highest."
        ),
    )
    afternoon = recorded.copy()
    wanted = np.isnat(recorded)
    afternoon[wanted] = _comes_down(group, wanted)
    group.refuse(
        np.isnat(afternoon),
        "times",
        lambda i: Sentence(
            "the sun does not come down to the height of this mark in the same afternoon."
        ),
    )
    return np.stack([forenoon, afternoon], axis=1)


def _comes_down(group: Group, some: np.ndarray) -> np.ndarray:
    """The instant at which the sun comes down to the elevation it had at the forenoon mark.

    some: which rows (boolean). NaT where the sun, once past its highest, stays above that
    elevation until it climbs again, or was past its highest at the mark: near the poles the
    change of declination outweighs the turn of the Earth around noon and midnight.
    """
    place = {
        name: group.of(name)[some] for name in ("latitude_deg", "longitude_deg", "elevation_m")
    }
    forenoon = group.times[some, 0]
    _, wanted = sun_position(forenoon, refraction=False, **place)
    sun = _Descent(upper_transit(forenoon, longitude_deg=place["longitude_deg"]), place)
    moment = sun.highest + (sun.highest - forenoon)
    for _ in range(_STEPS):
        elevation, rate = sun.at(moment)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = np.nan_to_num((wanted - elevation) / rate, posinf=0.0, neginf=0.0)
        step = np.clip(step, -1800e6, 1800e6).astype("int64").astype("timedelta64[us]")
        moment = np.clip(moment + step, sun.highest, sun.highest + _HALF_DAY)
    astray = np.nonzero(np.abs(sun.at(moment)[0] - wanted) > _CLOSE_DEG)[0]
    if astray.size:
        moment[astray] = _bisect(sun.of(astray), wanted[astray])
    return np.where(forenoon < sun.highest, moment, np.datetime64("NaT"))


class _Descent:
    """The sun from its highest on, for rows of places; true elevations."""

    def __init__(self, noon: np.ndarray, place: dict[str, np.ndarray]) -> None:
        self._noon, self._place = noon, place
        self._latitude = np.radians(place["latitude_deg"])
        declination, before, after = (
            np.radians(declination_and_hour_angle(noon + part, longitude_deg=0.0)[0])
            for part in (np.timedelta64(0), -_HALF_DAY, _HALF_DAY)
        )
        self._declination, self._turn = declination, after - before  # radians, radians a day
        # While the declination grows the sun is highest a little after it passes the meridian.
        late_days = self._turn * (np.tan(self._latitude) - np.tan(declination)) / (2 * np.pi) ** 2
        self.highest = noon + (late_days * 86_400e6).astype("int64").astype("timedelta64[us]")

    def of(self, rows: np.ndarray) -> "_Descent":
        return _Descent(self._noon[rows], {name: all_[rows] for name, all_ in self._place.items()})

    def at(self, moment: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Elevation in degrees and its change in degrees a microsecond."""
        azimuth, elevation = sun_position(moment, refraction=False, **self._place)
        height = np.radians(elevation)
        by_turning = 360.0 * np.cos(self._latitude) * np.sin(np.radians(azimuth))
        # Cosine of the angle at the sun between the zenith and the pole.
        slant = np.sin(self._latitude) - np.sin(height) * np.sin(self._declination)
        slant /= np.maximum(np.cos(height), 1e-9) * np.cos(self._declination)
        return elevation, (by_turning + np.degrees(self._turn) * slant) / 86_400e6


def _bisect(sun: _Descent, wanted: np.ndarray) -> np.ndarray:
    """The same by halving, where the quick way went astray; NaT where there is no such instant."""
    low, high = sun.highest, sun.highest + _HALF_DAY
    there = sun.at(high)[0] <= wanted
    while (high - low).max() > np.timedelta64(1000, "us"):
        middle = low + (high - low) // 2
        above = sun.at(middle)[0] > wanted
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    return np.where(there, high, np.datetime64("NaT"))
