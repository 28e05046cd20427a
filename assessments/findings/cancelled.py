"""Lines that were good only because the method's error cancelled the student's."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.findings.evidence import Certainty, Evidence, Finding, sound
from assessments.sheets.words import degrees

NAME = "cancelled"


def is_cancelled(one: Evidence) -> bool:
    """Within on the result, while the own error alone is outside the tolerance."""
    return (
        one.verdict == "within"
        and one.judged_on == "result"
        and one.declared_deg is None
        and abs(one.own_error_deg) > one.tolerance_deg
    )


def find(evidence: Sequence[Evidence]) -> Finding | None:
    """One such line is enough: each is a fact, not a guess."""
    lucky = [one for one in sound(evidence) if is_cancelled(one)]
    if not lucky:
        return None
    worst = max(lucky, key=lambda one: abs(one.own_error_deg))
    return Finding(
        name=NAME,
        says=ngettext(
            "%(count)s line came within only because the method was off the other way: your own "
            "error in it was %(own)s.",
            "%(count)s lines came within only because the method was off the other way: your own "
            "error was up to %(own)s.",
            len(lucky),
        )
        % {"count": len(lucky), "own": degrees(abs(worst.own_error_deg))},
        change=_(
            "At another hour the same line would miss. Work out the method’s error for the hour "
            "first, declare your correction, and then lay the line."
        ),
        rests_on=tuple(lucky),
        certainty=Certainty.CLEAR,
        size_deg=abs(worst.own_error_deg),
    )
