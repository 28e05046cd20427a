"""Marks of a shadow tip too close in time."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.findings.evidence import Certainty, Evidence, Finding, NotYet, missing, of_method
from assessments.sheets.words import degrees

NAME = "marks"
LEAST = 2
SHORTEST_MIN = 15.0
"""Fifteen to twenty minutes between marks (common practice)."""
LARGE_SHARE = 1.0 / 3.0
"""Scatter above this share of the tolerance makes a careful line a matter of luck."""


def find(evidence: Sequence[Evidence]) -> Finding | NotYet | None:
    """Marks closer than a quarter of an hour whose scatter is large against the tolerance."""
    lines = [one for one in of_method(evidence, "shadow-tip") if one.minutes_between_marks]
    if len(lines) < LEAST:
        return missing(NAME, _("Whether your marks are far enough apart"), lines, LEAST)
    close = [
        one
        for one in lines
        if one.minutes_between_marks < SHORTEST_MIN
        and one.marking_scatter_deg > LARGE_SHARE * one.tolerance_deg
    ]
    if len(close) < LEAST:
        return None
    minutes = sum(one.minutes_between_marks for one in close) / len(close)
    scatter = sum(one.marking_scatter_deg for one in close) / len(close)
    return Finding(
        name=NAME,
        says=ngettext(
            "In %(count)s shadow-tip line your marks were only %(minutes)s minutes apart: even a "
            "careful hand scatters by %(scatter)s then.",
            "In %(count)s shadow-tip lines your marks were only %(minutes)s minutes apart on "
            "average: even a careful hand scatters by %(scatter)s then.",
            len(close),
        )
        % {"count": len(close), "minutes": f"{minutes:.0f}", "scatter": degrees(scatter)},
        change=_(
            "Wait fifteen to twenty minutes between marks, or use a longer stick: twice the "
            "distance halves the scatter."
        ),
        rests_on=tuple(close),
        certainty=Certainty.CLEAR if 2 * len(close) > len(lines) else Certainty.LIKELY,
        size_deg=scatter,
    )
