"""The four checks: from what was read to the true bearing laid, and how sure that is."""

from dataclasses import dataclass

import numpy as np

from solar.bearings import wrap_deg
from solar.columns import Attempts
from solar.daylight import clearance_each_deg
from solar.declination import UNUSABLE_NT, Field, declination, first_and_last_year
from solar.faults import Faults
from solar.methods.base import LEAST_ELEVATION_DEG, LONGEST_SHADOW, NEAR_ZENITH_DEG, Group
from solar.sentences import Sentence

READING_U_DEG = {"compass": 1.5, "shadow": 1.0, "landmark": 1.0, "direct": 0.0}
"""Standard uncertainty of a reading where the row gives none (common practice)."""
MARK_BEARING_U_DEG = 0.5
"""Standard uncertainty of a mark's bearing where none is given (common practice)."""
OWN_DECLINATION_U_DEG = 0.5
CLOCK_U_S = 15.0
"""Standard uncertainty of a recorded time."""
_HALF_STEP_S = 30
HALF_STEP = np.timedelta64(_HALF_STEP_S, "s")


@dataclass
class Checked:
    """True bearing laid and its standard uncertainty by row; NaN where refused or unused."""

    laid_deg: np.ndarray
    u_deg: np.ndarray
    declination_deg: np.ndarray
    magnetic_model: np.ndarray


def check(attempts: Attempts, last_times: np.ndarray, faults: Faults) -> Checked:
    """Work out every sound row's check. last_times: (rows,) datetime64, for compass checks."""
    rows = len(attempts)
    reading_u = attempts.reading_u_deg.copy()
    for kind, default in READING_U_DEG.items():
        reading_u[np.isnan(reading_u) & (attempts.check == kind)] = default
    checked = Checked(
        attempts.reading_deg.copy(), reading_u, np.full(rows, np.nan), np.full(rows, "", object)
    )
    _compass(attempts, last_times, faults, checked)
    _shadow(attempts, faults, checked)
    landmark = faults.sound & (attempts.check == "landmark")
    checked.laid_deg[landmark] += attempts.landmark_deg[landmark]
    mark_u = attempts.landmark_u_deg[landmark]
    mark_u = np.where(np.isnan(mark_u), MARK_BEARING_U_DEG, mark_u)
    checked.u_deg[landmark] = np.hypot(checked.u_deg[landmark], mark_u)
    return checked


def _compass(attempts, last_times, faults, checked) -> None:
    rows = np.nonzero(faults.sound & (attempts.check == "compass"))[0]
    if not rows.size:
        return
    times = np.where(
        np.isnat(attempts.check_time[rows]), last_times[rows], attempts.check_time[rows]
    )
    field = declination(
        times,
        latitude_deg=attempts.latitude_deg[rows],
        longitude_deg=attempts.longitude_deg[rows],
        elevation_m=attempts.elevation_m[rows],
    )
    own = attempts.own_declination_deg[rows]
    given = ~np.isnan(own)
    _refuse_compass(field, given, rows, faults)
    used = np.where(given, wrap_deg(own), field.declination_deg)
    uncertainty = np.where(given, OWN_DECLINATION_U_DEG, field.uncertainty_deg)
    checked.laid_deg[rows] += attempts.correction_deg[rows] + used
    checked.u_deg[rows] = np.hypot(checked.u_deg[rows], uncertainty)
    checked.declination_deg[rows] = used
    checked.magnetic_model[rows] = np.where(given, "", field.model)


def _refuse_compass(field: Field, given, rows, faults) -> None:
    first, last = first_and_last_year()
    without = ~given & (field.model == "")
    unsure = ~given & ~without & np.isnan(field.uncertainty_deg)
    for index in np.nonzero(without | unsure)[0]:
        row = int(rows[index])
        reason = (
            Sentence(
                "the magnetic models at hand hold %(first)s to %(last)s only; "
                "give a declination_deg.",
                first=f"{first:.0f}",
                last=f"{last:.0f}",
            )
            if without[index]
            else Sentence(
                "the magnetic model of those years has no published error; give a declination_deg."
            )
        )
        faults.put(row, faults.time_column(row), reason)
    with np.errstate(invalid="ignore"):
        weak = field.horizontal_nt < UNUSABLE_NT
    faults.put_where(
        weak,
        "check",
        lambda i: Sentence(
            "the horizontal field here is %(field).0f nT; below "
            "%(least).0f nT a compass cannot be used.",
            field=float(field.horizontal_nt[i]),
            least=UNUSABLE_NT,
        ),
        rows,
    )


def _shadow(attempts, faults, checked) -> None:
    rows = np.nonzero(faults.sound & (attempts.check == "shadow"))[0]
    if not rows.size:
        return
    now = attempts.check_time[rows][:, None]
    # The azimuth now and half a minute to either side, for its rate.
    instants = now + np.array([-_HALF_STEP_S, 0, _HALF_STEP_S]).astype("timedelta64[s]")
    azimuth, elevation = Group(attempts, rows, instants, faults).sun()
    height = elevation[:, 1]
    faults.put_where(
        height > 90.0 - NEAR_ZENITH_DEG,
        "check_time",
        lambda i: Sentence(
            "the sun stood within %(near).0f degrees of the zenith; "
            "a plumb line had no usable shadow.",
            near=NEAR_ZENITH_DEG,
        ),
        rows,
    )
    faults.put_where(
        height < LEAST_ELEVATION_DEG,
        "check_time",
        lambda i: Sentence(
            "the sun stood at %(height).1f degrees; a shadow longer than "
            "%(longest).0f lengths of the plumb line cannot be used.",
            height=float(height[i]),
            longest=LONGEST_SHADOW,
        ),
        rows,
    )
    _refuse_behind_skyline(attempts, rows, now[:, 0], faults)
    turned = np.mod(azimuth[:, 2] - azimuth[:, 0] + 180.0, 360.0) - 180.0
    checked.laid_deg[rows] += azimuth[:, 1] + 180.0
    rate = turned / (2.0 * _HALF_STEP_S)
    checked.u_deg[rows] = np.hypot(checked.u_deg[rows], rate * CLOCK_U_S)


def _refuse_behind_skyline(attempts, rows, times, faults) -> None:
    """A plumb line has no shadow while the terrain hides the sun."""
    clearance = clearance_each_deg(
        times[:, None],
        attempts.horizon[rows],
        latitude_deg=attempts.latitude_deg[rows],
        longitude_deg=attempts.longitude_deg[rows],
        elevation_m=attempts.elevation_m[rows],
    )
    faults.put_where(
        clearance[:, 0] < 0.0,
        "check_time",
        lambda i: Sentence(
            "the sun was below the skyline of this place; a plumb line had no shadow."
        ),
        rows,
    )
