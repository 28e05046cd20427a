"""How long the way from one site to another takes: straight distance at the school's speed."""

import math

from coursework.models import Site
from coursework.models.places import way

LONGEST_MIN = 1440
"""A way counts for a day at most: further sites are not gone to between two drills."""


def way_m(one: Site, other: Site) -> float:
    """Metres along the geodesic; 0 for one and the same site."""
    return 0.0 if one.pk == other.pk else way(one.position, other.position)[1]


def way_min(one: Site, other: Site, *, speed_kmh: float) -> int:
    """Whole minutes, rounded up, from 0 to `LONGEST_MIN`. speed_kmh: above 0, straight on."""
    minutes = way_m(one, other) / 1000.0 / speed_kmh * 60.0
    # A metre or two of rounding is no minute.
    return min(LONGEST_MIN, math.ceil(minutes - 0.05))
