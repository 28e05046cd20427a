"""Pole star: the line is laid under Polaris and taken for north."""

import numpy as np

from solar import stars
from solar.methods.base import Group, Laid
from solar.sentences import Sentence

NAME = "pole-star"
SOUTHERNMOST_DEG = 5.0
"""Latitude south of which Polaris is too low to be used."""


def lay(group: Group) -> Laid:
    """North is taken where Polaris stands: its apparent azimuth at the place and instant."""
    latitude = group.of("latitude_deg")
    group.refuse(
        latitude < SOUTHERNMOST_DEG,
        "lat",
        lambda i: Sentence(
            "south of %(limit).0f degrees north the pole star is too low.", limit=SOUTHERNMOST_DEG
        ),
    )
    sun_azimuth, sun_elevation = group.sun()
    times = group.times[:, 0]
    star_azimuth, star_elevation = stars.horizontal(
        stars.apparent_direction(stars.POLARIS, times),
        times,
        latitude_deg=latitude,
        longitude_deg=group.of("longitude_deg"),
    )
    return Laid.of(
        group,
        star_azimuth,
        group.times,
        sun_azimuth,
        sun_elevation,
        stars=np.stack([star_azimuth, star_elevation], axis=-1)[:, None, :],
    )
