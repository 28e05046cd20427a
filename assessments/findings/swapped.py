"""Lines laid end for end."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.findings.evidence import Certainty, Evidence, Finding

NAME = "swapped"


def find(evidence: Sequence[Evidence]) -> Finding | None:
    """Own errors near 180 degrees: a mistake of another kind than scatter, counted apart."""
    lines = [one for one in evidence if one.is_swapped]
    if not lines:
        return None
    return Finding(
        name=NAME,
        says=ngettext(
            "%(count)s line was laid end for end: its two ends were swapped, so it is counted "
            "apart from your other errors.",
            "%(count)s lines were laid end for end: their two ends were swapped, so they are "
            "counted apart from your other errors.",
            len(lines),
        )
        % {"count": len(lines)},
        change=_(
            "Before you name the ends, ask where the sun is: in the east before noon, in the "
            "west after it. The first mark of a shadow tip is the western one by day, except "
            "under the midnight sun."
        ),
        rests_on=tuple(lines),
        certainty=Certainty.CLEAR,
        size_deg=180.0,
    )
