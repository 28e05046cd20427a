"""Equal shadows: the tip is marked in the forenoon, and again when the shadow is as long."""

import numpy as np

from solar.daylight import upper_transit
from solar.ephemeris import declination_and_hour_angle, sun_position
from solar.methods.base import Group, Laid, bearing_of, refuse_long_shadows, scatter_of_two, unit

NAME = "equal-shadow"
_STEPS = 8
_CLOSE_US = 1_000
_LARGEST_STEP_US = 1_800_000_000


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
        lambda i: (
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
        lambda i: (
            "the second mark of equal shadows is made in the afternoon; at this time "
            "the sun was not past its highest."
        ),
    )
    afternoon = np.where(np.isnat(recorded), _comes_down(group, forenoon), recorded)
    return np.stack([forenoon, afternoon], axis=1)


def _comes_down(group: Group, forenoon: np.ndarray) -> np.ndarray:
    """The instant after noon at which the sun has the elevation it had at `forenoon`."""
    place = {name: group.of(name) for name in ("latitude_deg", "longitude_deg", "elevation_m")}
    cos_lat = np.cos(np.radians(place["latitude_deg"]))
    _, wanted = sun_position(forenoon, refraction=False, **place)
    noon = upper_transit(forenoon, longitude_deg=place["longitude_deg"])
    moment = noon + (noon - forenoon)
    for _ in range(_STEPS):
        azimuth, elevation = sun_position(moment, refraction=False, **place)
        # The sun climbs 15 cos(latitude) sin(azimuth) degrees an hour.
        rate = 15.0 / 3600e6 * cos_lat * np.sin(np.radians(azimuth))
        with np.errstate(divide="ignore", invalid="ignore"):
            step = np.nan_to_num((wanted - elevation) / rate, posinf=0.0, neginf=0.0)
        step = np.clip(step, -_LARGEST_STEP_US, _LARGEST_STEP_US).astype("int64")
        moment = np.maximum(moment + step.astype("timedelta64[us]"), noon)
        if np.abs(step).max(initial=0) < _CLOSE_US:
            break
    return moment
