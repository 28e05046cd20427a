"""Shortest shadow: the shadow marked when it is shortest is taken for the meridian."""

import numpy as np

from solar.ephemeris import declination_and_hour_angle
from solar.methods.base import (
    NEAR_ZENITH_DEG,
    Group,
    Laid,
    culminates_south,
    refuse_long_shadows,
    unit,
)
from solar.sentences import Sentence

NAME = "shortest-shadow"


def lay(group: Group) -> Laid:
    """The shadow points north where the sun culminates south of the zenith, else south."""
    azimuth, elevation = group.sun()
    group.refuse(
        elevation[:, 0] > 90.0 - NEAR_ZENITH_DEG,
        "times",
        lambda i: Sentence(
            "the sun stood within %(near).0f degrees of the zenith; there is no usable shadow.",
            near=NEAR_ZENITH_DEG,
        ),
    )
    refuse_long_shadows(group, elevation)
    declination, _ = declination_and_hour_angle(
        group.times[:, 0], longitude_deg=group.of("longitude_deg")
    )
    shadow = azimuth[:, 0] + 180.0
    points_north = culminates_south(group.of("latitude_deg"), declination)
    with np.errstate(divide="ignore"):
        length = group.of("stick_m")[:, None] / np.tan(np.radians(elevation))
    return Laid.of(
        group,
        np.where(points_north, shadow, shadow + 180.0),
        group.times,
        azimuth,
        elevation,
        points_m=unit(azimuth + 180.0) * length[..., None],
    )
