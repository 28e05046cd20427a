"""Watch face: north or south by halving between the hour hand and twelve."""

import numpy as np

from solar.ephemeris import declination_and_hour_angle
from solar.methods.base import Group, Laid
from solar.methods.hands import refuse_wrong_side

NAME = "watch"


def lay(group: Group, *, shift_hours: float = 0.0) -> Laid:
    """Northern half (and the equator): south = A - 15 (T - 12). Southern: north = A + 15 (T - 12).

    T is the zone's clock less its summer advance, in hours, moved by shift_hours.
    """
    azimuth, elevation = group.sun()
    declination, _ = declination_and_hour_angle(
        group.times[:, 0], longitude_deg=group.of("longitude_deg")
    )
    refuse_wrong_side(group, declination)
    turn = 15.0 * (group.of("watch_hours") + shift_hours - 12.0)
    northern = group.of("latitude_deg") >= 0.0
    north = np.where(northern, azimuth[:, 0] - turn + 180.0, azimuth[:, 0] + turn)
    return Laid.of(
        group,
        north,
        group.times,
        azimuth,
        elevation,
        assumed_sun_deg=azimuth[:, 0] - north,
    )
