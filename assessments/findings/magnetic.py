"""A line spoiled by the declination: left out, or applied the wrong way."""

from collections.abc import Sequence

import numpy as np
from django.utils.translation import gettext as _
from scipy import stats

from assessments.findings.evidence import Certainty, Evidence, Finding, NotYet, missing, sound
from assessments.sheets.words import degrees, turn

NAME = "declination"
LEAST = 3
LEAST_DECLINATION_DEG = 3.0
"""A smaller declination cannot be told from an ordinary error."""
LARGE_DEG = 10.0
"""An ordinary pull is seldom as large: with one declination only, the size has to speak."""
_CLOSE_DEG, _CLOSE_SHARE = 3.0, 0.2
"""How near an error has to be to what the declination explains: the larger of the two."""
_FACTORS = (1.0, -1.0, 2.0, -2.0)


def find(evidence: Sequence[Evidence]) -> Finding | NotYet | None:
    """Own errors that equal the declination, or twice it, and are not explained by nothing.

    A line turned onto magnetic north is off by the declination itself; one corrected the
    wrong way by twice that.
    """
    lines = [
        one
        for one in sound(evidence)
        if one.site_declination_deg is not None
        and abs(one.site_declination_deg) >= LEAST_DECLINATION_DEG
    ]
    if len(lines) < LEAST:
        return missing(NAME, _("Whether the declination was applied wrongly"), lines, LEAST)
    errors = np.array([one.own_error_deg for one in lines])
    declinations = np.array([one.site_declination_deg for one in lines])
    factor = min(_FACTORS, key=lambda times: abs(np.median(errors - times * declinations)))
    left = errors - factor * declinations
    close = max(_CLOSE_DEG, _CLOSE_SHARE * float(np.median(np.abs(factor * declinations))))
    fits = np.abs(left) <= close
    half = float(stats.t.ppf(0.975, len(lines) - 1) * left.std(ddof=1) / np.sqrt(len(lines)))
    explained = np.abs(np.median(left)) < 0.5 * np.abs(np.median(errors))
    if fits.mean() < 0.75 or not explained or abs(left.mean()) > max(half, close / 2.0):
        return None
    several = np.ptp(declinations) >= LEAST_DECLINATION_DEG
    size = float(np.mean(np.abs(factor * declinations)))
    if abs(factor) == 1.0:
        says = _(
            "Your lines are off by the declination of the place (%(declination)s there): "
            "%(size)s, in %(count)s of %(all)s attempts."
        )
    else:
        says = _(
            "Your lines are off by twice the declination of the place (%(declination)s there): "
            "%(size)s, in %(count)s of %(all)s attempts."
        )
    return Finding(
        name=NAME,
        says=says
        % {
            "declination": turn(float(declinations[-1])),
            "size": degrees(size),
            "count": int(fits.sum()),
            "all": len(lines),
        },
        change=_(
            "The sun and its shadow know nothing of magnetic north: no declination is applied to "
            "their lines. Where a compass is used, true = magnetic + declination, east positive."
        ),
        rests_on=tuple(one for one, fit in zip(lines, fits, strict=True) if fit),
        certainty=_certainty(several=several, size_deg=size),
        size_deg=size,
    )


def _certainty(*, several: bool, size_deg: float) -> Certainty:
    if several:
        return Certainty.CLEAR
    return Certainty.LIKELY if size_deg >= LARGE_DEG else Certainty.HINT
