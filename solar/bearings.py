"""Angles on a circle: wrapping, signed difference, words."""

import numpy as np
from numpy.typing import ArrayLike

COMPASS_POINTS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE")
COMPASS_POINTS += ("S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")


def wrap_deg(angle_deg: ArrayLike) -> np.ndarray:
    """Any angle in degrees brought to (-180, 180]; positive is to the right (clockwise)."""
    return 180.0 - np.mod(180.0 - np.asarray(angle_deg, dtype=float), 360.0)


def bearing_deg(angle_deg: ArrayLike) -> np.ndarray:
    """Any angle in degrees brought to [0, 360), clockwise from true north."""
    turned = np.mod(np.asarray(angle_deg, dtype=float), 360.0)
    # A tiny negative angle comes out of mod as 360 itself.
    return np.where(turned >= 360.0, 0.0, turned)


def difference_deg(to_deg: ArrayLike, from_deg: ArrayLike) -> np.ndarray:
    """The turn from one bearing to another, in (-180, 180]; positive is to the right."""
    return wrap_deg(np.asarray(to_deg, dtype=float) - np.asarray(from_deg, dtype=float))


def compass_point(angle_deg: float) -> str:
    """The nearest of the sixteen points of the compass, such as 'NNE'."""
    return COMPASS_POINTS[int(np.mod(angle_deg, 360.0) / 22.5 + 0.5) % 16]
