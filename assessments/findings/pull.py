"""A constant pull to one side."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from assessments.findings.evidence import Certainty, Evidence, Finding, NotYet, missing, sound
from assessments.sheets.words import degrees, turn
from solar.circular import LEAST_FOR_AN_INTERVAL, summary

NAME = "pull"
LEAST_DEG = 2.0
"""A pull smaller than this is not worth a student's thought."""


def find(evidence: Sequence[Evidence]) -> Finding | NotYet | None:
    """The mean own error's 95 % interval leaves zero out."""
    lines = sound(evidence)
    if len(lines) < LEAST_FOR_AN_INTERVAL:
        return missing(NAME, _("A constant pull to one side"), lines, LEAST_FOR_AN_INTERVAL)
    found = summary([one.own_error_deg for one in lines])
    if not found.is_pull or abs(found.mean_deg) < LEAST_DEG:
        return None
    clear_of_zero = abs(found.mean_deg) - found.half_width_deg
    side = _("right") if found.mean_deg > 0 else _("left")
    other = _("left") if found.mean_deg > 0 else _("right")
    return Finding(
        name=NAME,
        says=_(
            "Your lines pull to the %(side)s: on average %(mean)s, good to ±%(half)s (95 %%), "
            "over %(count)s attempts."
        )
        % {
            "side": side,
            "mean": turn(found.mean_deg),
            "half": degrees(found.half_width_deg),
            "count": len(lines),
        },
        change=_(
            "Look for what you do alike each time: where you stand when you sight, how the "
            "stick leans, which edge of the shadow you mark. Then aim a little to the %(other)s "
            "on purpose and see whether the next lines come nearer."
        )
        % {"other": other},
        rests_on=tuple(lines),
        certainty=Certainty.CLEAR if clear_of_zero >= LEAST_DEG else Certainty.LIKELY,
        size_deg=abs(found.mean_deg),
    )
