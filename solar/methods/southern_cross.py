"""Southern cross: its long axis is drawn out towards the pole and dropped to the horizon."""

import numpy as np

from solar import stars
from solar.methods.base import Group, Laid
from solar.sentences import Sentence

NAME = "southern-cross"
LENGTHS = 4.5
"""How many lengths of the axis are added beyond Acrux (common practice)."""


def lay(group: Group) -> Laid:
    """South lies below the point 4.5 lengths beyond Acrux on the line from Gacrux."""
    times = group.times[:, 0]
    place = {
        "latitude_deg": group.of("latitude_deg"),
        "longitude_deg": group.of("longitude_deg"),
    }
    top = stars.apparent_direction(stars.GACRUX, times)
    foot = stars.apparent_direction(stars.ACRUX, times)
    point = stars.extended(top, foot, times_its_length=LENGTHS)
    seen = np.stack(
        [np.stack(stars.horizontal(star, times, **place), axis=-1) for star in (top, foot, point)],
        axis=1,
    )
    group.refuse(
        (seen[..., 1] <= 0.0).any(axis=1),
        "times",
        lambda i: Sentence("the southern cross, or the point it leads to, was below the horizon."),
    )
    sun_azimuth, sun_elevation = group.sun()
    return Laid.of(
        group,
        seen[:, 2, 0] + 180.0,
        group.times,
        sun_azimuth,
        sun_elevation,
        stars=seen,
    )
