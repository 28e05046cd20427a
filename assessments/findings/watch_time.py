"""A watch read on summer time."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.findings.evidence import Certainty, Evidence, Finding, NotYet, missing, of_method
from assessments.sheets.words import degrees

NAME = "summer-time"
LEAST = 2
HOUR_DEG = 15.0
_CLOSE_DEG = 5.0


def find(evidence: Sequence[Evidence]) -> Finding | NotYet | None:
    """Own errors of 15 degrees by watch, to the side that an hour too much gives.

    An hour too much turns the line 15 degrees to the left in the northern half of the world
    and to the right in the southern.
    """
    lines = of_method(evidence, "watch")
    if len(lines) < LEAST:
        return missing(NAME, _("Whether the watch was on summer time"), lines, LEAST)
    hit = [
        one
        for one in lines
        if abs(one.own_error_deg - (-HOUR_DEG if one.northern else HOUR_DEG)) <= _CLOSE_DEG
    ]
    if len(hit) < LEAST or 2 * len(hit) < len(lines):
        return None
    return Finding(
        name=NAME,
        says=ngettext(
            "%(count)s line by watch is off by the %(hour)s that an hour of summer time makes.",
            "%(count)s lines by watch are off by the %(hour)s that an hour of summer time makes.",
            len(hit),
        )
        % {"count": len(hit), "hour": degrees(HOUR_DEG, 0)},
        change=_(
            "On summer time, halve between the hour hand and one o’clock instead of twelve, or "
            "set the watch back an hour before you start."
        ),
        rests_on=tuple(hit),
        certainty=Certainty.CLEAR if len(hit) >= 3 else Certainty.LIKELY,
        size_deg=HOUR_DEG,
    )
