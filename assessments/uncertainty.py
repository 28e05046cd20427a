"""The parts of which the uncertainty of a check is made, kept with each score."""

import math
from collections.abc import Mapping
from datetime import datetime

import numpy as np

from solar.checks import CLOCK_U_S, MARK_BEARING_U_DEG, OWN_DECLINATION_U_DEG, READING_U_DEG
from solar.decision import COVERAGE
from solar.declination import declination
from solar.ephemeris import sun_position


def standard_parts(
    row: Mapping[str, str], *, expanded_deg: float, last_time: datetime, check_time: datetime | None
) -> dict[str, float]:
    """Standard uncertainties by what they come from, degrees, for one scored batch row.

    `reading`, `declination`, `mark`, `check time`, and `clock`: what the times of the marks
    add where the own error is judged. Combined in quadrature and doubled they give
    `expanded_deg` (JCGM 100).
    """
    place = {
        "latitude_deg": float(row["lat"]),
        "longitude_deg": float(row["lon"]),
        "elevation_m": float(row["elevation_m"] or 0.0),
    }
    check = row["check"]
    parts = {"reading": float(row["reading_u_deg"] or READING_U_DEG[check])}
    if check == "compass" and row["declination_deg"]:
        parts["declination"] = OWN_DECLINATION_U_DEG
    elif check == "compass":
        field = declination([check_time or last_time], **place)
        parts["declination"] = float(field.uncertainty_deg[0])
    elif check == "landmark":
        parts["mark"] = float(row.get("landmark_u_deg") or MARK_BEARING_U_DEG)
    elif check == "shadow":
        moment = np.datetime64(round(check_time.timestamp()), "s")
        azimuth, _ = sun_position(moment + np.array([-30, 30], "timedelta64[s]"), **place)
        turned = (azimuth[1] - azimuth[0] + 180.0) % 360.0 - 180.0
        parts["check time"] = abs(float(turned)) / 60.0 * CLOCK_U_S
    rest = (expanded_deg / COVERAGE) ** 2 - sum(part**2 for part in parts.values())
    # What is left can only be the clock's; below a thousandth of a degree it is rounding.
    if rest > 1e-6:
        parts["clock"] = math.sqrt(rest)
    return parts
