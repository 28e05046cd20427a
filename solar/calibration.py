"""An instrument held against a known direction: its correction, and how sure a reading is.

Type A evaluation from repeated readings (JCGM 100:2008, 4.2), combined in quadrature with what
is known of the direction itself (5.1.2). Angles are degrees; corrections are added to what is
read, positive to the right.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solar.bearings import wrap_deg
from solar.sentences import Sentence, SentenceError

FEWEST_READINGS = 3
WIDEST_SPREAD_DEG = 20.0
"""Readings of one direction further apart than this hold a slip, not scatter."""


class CalibrationError(SentenceError):
    """Readings from which nothing follows."""


@dataclass(frozen=True, kw_only=True)
class Calibration:
    """What follows from repeated readings of one known direction, degrees.

    `offset_deg` is the true direction less the mean reading. `scatter_deg` is the standard
    deviation of one reading, the graduation counted; `offset_u_deg` the standard uncertainty of
    the offset; `corrected_u_deg` that of one reading with the offset added, and
    `uncorrected_u_deg` that of one reading as it is, where the offset counts as uncertainty.
    """

    mean_deg: float
    offset_deg: float
    scatter_deg: float
    offset_u_deg: float
    corrected_u_deg: float
    uncorrected_u_deg: float


def calibrate(
    readings_deg: Sequence[float],
    *,
    true_deg: float,
    true_u_deg: float,
    resolution_deg: float,
) -> Calibration:
    """Compare readings of one direction with what it truly is in the instrument's own terms.

    For a compass `true_deg` is the magnetic bearing of the mark (true bearing less declination,
    east positive). `true_u_deg` is its standard uncertainty; `resolution_deg` the step to which
    was read, spread evenly (resolution / sqrt(12), JCGM 100, F.2.2.1). The larger of scatter and
    step counts, since readings of a coarse card repeat without being exact. CalibrationError
    where there are too few readings or they cannot be of one direction.
    """
    if len(readings_deg) < FEWEST_READINGS:
        raise CalibrationError(
            Sentence(
                "At least %(fewest)s readings are needed to tell the scatter.",
                fewest=str(FEWEST_READINGS),
            )
        )
    readings = np.asarray(readings_deg, dtype=float)
    from_first = wrap_deg(readings - readings[0])
    if np.ptp(from_first) > WIDEST_SPREAD_DEG:
        raise CalibrationError(
            Sentence(
                "The readings are more than %(widest)g° apart: at least one is a slip.",
                widest=WIDEST_SPREAD_DEG,
            )
        )
    # Within so narrow a spread the plain mean of the differences is the mean direction.
    mean_deg = float(readings[0] + from_first.mean())
    step_u_deg = resolution_deg / np.sqrt(12.0)
    scatter_deg = max(float(from_first.std(ddof=1)), float(step_u_deg))
    offset_deg = float(wrap_deg(true_deg - mean_deg))
    offset_u_deg = float(np.hypot(scatter_deg / np.sqrt(readings.size), true_u_deg))
    corrected_u_deg = float(np.hypot(scatter_deg, offset_u_deg))
    return Calibration(
        mean_deg=mean_deg % 360.0,
        offset_deg=offset_deg,
        scatter_deg=scatter_deg,
        offset_u_deg=offset_u_deg,
        corrected_u_deg=corrected_u_deg,
        uncorrected_u_deg=float(np.hypot(corrected_u_deg, offset_deg)),
    )
