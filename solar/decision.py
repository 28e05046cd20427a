"""Is it within the tolerance? The decision rules of JCGM 106:2012."""

import numpy as np
from numpy.typing import ArrayLike

WITHIN, OUTSIDE, TOO_CLOSE = "within", "outside", "too close to call"
COVERAGE = 2.0
"""Expanded uncertainty is this many standard uncertainties."""


def decide(
    judged_deg: ArrayLike,
    *,
    tolerance_deg: ArrayLike,
    expanded_u_deg: ArrayLike,
    guarded: ArrayLike,
) -> np.ndarray:
    """Verdicts on errors against symmetric tolerances; arrays broadcast, angles in degrees.

    Guarded (JCGM 106:2012, guard band of U on either side): 'within' for |e| <= T - U,
    'outside' for |e| > T + U, 'too close to call' in between. Plain: U is not used.
    NaN gives ''.
    """
    judged, tolerance, expanded, guarded = np.broadcast_arrays(
        np.abs(np.asarray(judged_deg, dtype=float)), tolerance_deg, expanded_u_deg, guarded
    )
    guard = np.where(guarded, expanded, 0.0)
    verdict = np.full(judged.shape, TOO_CLOSE, dtype=object)
    verdict[judged <= tolerance - guard] = WITHIN
    verdict[judged > tolerance + guard] = OUTSIDE
    verdict[np.isnan(judged) | np.isnan(guard)] = ""
    return verdict


def can_show_within(*, tolerance_deg: ArrayLike, expanded_u_deg: ArrayLike) -> np.ndarray:
    """Whether a guarded check can ever show 'within': its U is less than the tolerance."""
    return np.asarray(expanded_u_deg, dtype=float) < np.asarray(tolerance_deg, dtype=float)


def sideways_miss_m(error_deg: ArrayLike, *, distance_m: ArrayLike) -> np.ndarray:
    """How far to the right of the goal a line of that error leads after a distance, metres.

    About 17.5 m a kilometre a degree; negative to the left.
    """
    return np.asarray(distance_m, dtype=float) * np.sin(np.radians(error_deg))
