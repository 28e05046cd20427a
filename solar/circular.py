"""Statistics of directions and of signed errors: never a plain average of bearings.

Definitions after Fisher, Statistical Analysis of Circular Data (1993), and Mardia & Jupp,
Directional Statistics (2000). Angles are degrees; NaN is not accepted.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy import stats

from solar.bearings import wrap_deg

LEAST_FOR_AN_INTERVAL = 5
"""Fewer directions than this give no interval for their mean."""
_LEAST_LENGTH = 1e-9


@dataclass(frozen=True)
class Summary:
    """Directions summed up. Angles in (-180, 180], positive to the right of zero.

    mean_deg and std_deg are None where the directions cancel out. half_width_deg: half of the
    95 % interval of the mean; None for too few directions or where none can be given.
    """

    count: int
    mean_deg: float | None
    resultant_length: float
    """Mean resultant length R, 0 (all ways) to 1 (all alike)."""
    std_deg: float | None
    """Circular standard deviation sqrt(-2 ln R)."""
    half_width_deg: float | None

    @property
    def is_pull(self) -> bool:
        """Whether the interval of the mean leaves zero out: a constant pull to one side."""
        return (
            self.mean_deg is not None
            and self.half_width_deg is not None
            and abs(self.mean_deg) > self.half_width_deg
        )


def resultant(angles_deg: ArrayLike) -> tuple[float | None, float]:
    """Mean direction in (-180, 180] (None where directions cancel) and mean resultant length."""
    angles = np.radians(_checked(angles_deg))
    east, north = np.sin(angles).mean(), np.cos(angles).mean()
    length = float(np.hypot(east, north))
    if length < _LEAST_LENGTH:
        return None, 0.0
    return float(wrap_deg(np.degrees(np.arctan2(east, north)))), min(length, 1.0)


def summary(angles_deg: ArrayLike, *, confidence: float = 0.95) -> Summary:
    """Mean direction, spread and interval of the mean of one or more directions.

    angles_deg: one dimension, at least one. ValueError for none or for NaN.
    """
    angles = _checked(angles_deg)
    mean, length = resultant(angles)
    std = None if mean is None else float(np.degrees(np.sqrt(max(0.0, -2.0 * np.log(length)))))
    return Summary(angles.size, mean, length, std, _half_width(angles, mean, length, confidence))


def _half_width(angles, mean, length, confidence) -> float | None:
    """Half of the interval of the mean direction.

    From the circular dispersion (Fisher 1993, section 4.4.4): asin(t s) with
    s^2 = (1 - m2) / (2 n R^2), m2 the mean cosine of twice the deviations; Student's t in place
    of the normal quantile widens it for few directions.
    """
    count = angles.size
    if mean is None or count < LEAST_FOR_AN_INTERVAL:
        return None
    second = np.cos(2.0 * np.radians(angles - mean)).mean()
    error = np.sqrt(max(0.0, 1.0 - second) / (2.0 * count * length**2))
    sine = float(stats.t.ppf(0.5 + confidence / 2.0, count - 1) * error)
    return float(np.degrees(np.arcsin(sine))) if sine < 1.0 else None


@dataclass(frozen=True)
class Trend:
    """Theil-Sen slope of errors over a second quantity, with its interval; degrees per unit."""

    slope: float
    low: float
    high: float

    @property
    def is_clear(self) -> bool:
        """Whether the interval of the slope leaves zero out."""
        return self.low > 0.0 or self.high < 0.0


def trend(over: ArrayLike, angles_deg: ArrayLike, *, confidence: float = 0.95) -> Trend | None:
    """The median slope of signed errors over time or order; None for fewer than five.

    Errors are unwrapped about their mean direction first, so that 179 and -179 lie together.
    """
    position = np.asarray(over, dtype=float)
    angles = _checked(angles_deg)
    if position.shape != angles.shape:
        raise ValueError("As many positions as angles are needed.")
    mean, _ = resultant(angles)
    if angles.size < LEAST_FOR_AN_INTERVAL or mean is None or np.ptp(position) == 0.0:
        return None
    unwrapped = mean + wrap_deg(angles - mean)
    result = stats.theilslopes(unwrapped, position, alpha=confidence)
    return Trend(float(result.slope), float(result.low_slope), float(result.high_slope))


def is_swapped(errors_deg: ArrayLike, *, within_deg: float = 30.0) -> np.ndarray:
    """Which errors are a line laid end for end: within `within_deg` of 180 degrees."""
    return np.abs(np.asarray(errors_deg, dtype=float)) >= 180.0 - within_deg


def _checked(angles_deg: ArrayLike) -> np.ndarray:
    angles = np.asarray(angles_deg, dtype=float).ravel()
    if not angles.size:
        raise ValueError("At least one direction is needed.")
    if not np.isfinite(angles).all():
        raise ValueError("Directions must be finite numbers.")
    return angles
