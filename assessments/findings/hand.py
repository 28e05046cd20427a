"""A hand that covers less (or more) than the rule turns for it."""

from collections.abc import Sequence

import numpy as np
from django.utils.translation import gettext as _
from scipy import stats

from assessments.findings.evidence import Certainty, Evidence, Finding, NotYet, missing, of_method
from assessments.sheets.words import degrees

NAME = "hand"
LEAST = 3
LEAST_DEG = 1.0
"""Rule and hand closer than this are as good as equal."""


def find(evidence: Sequence[Evidence]) -> Finding | NotYet | None:
    """The rule's turn for a hand against the hand as measured, or as the counts imply it."""
    counted = [one for one in of_method(evidence, "hands") if one.hands and one.rule_deg_per_hand]
    measured = [one for one in counted if one.measured_deg_per_hand is not None]
    if measured:
        return _from_measured(measured)
    counted = [one for one in counted if one.sun_height_deg is not None]
    if len(counted) < LEAST:
        return missing(NAME, _("Whether the rule fits your hand"), counted, LEAST)
    return _from_counts(counted)


def _from_measured(measured: list[Evidence]) -> Finding | None:
    last = max(measured, key=lambda one: one.observed_at)
    lines = [one for one in measured if _misfit(one) >= LEAST_DEG]
    if last not in lines:
        return None
    cost = float(np.mean([_misfit(one) * one.hands for one in lines]))
    return Finding(
        name=NAME,
        says=_(
            "Your hand covers %(hand)s, but you turn %(rule)s for each: that alone moved your "
            "lines by about %(cost)s."
        )
        % {
            "hand": degrees(last.measured_deg_per_hand),
            "rule": degrees(last.rule_deg_per_hand),
            "cost": degrees(cost),
        },
        change=_("Set the rule to your own hand: turn %(hand)s for each hand you count.")
        % {"hand": degrees(last.measured_deg_per_hand)},
        rests_on=tuple(lines),
        certainty=Certainty.CLEAR,
        size_deg=cost,
    )


def _misfit(one: Evidence) -> float:
    return abs(one.rule_deg_per_hand - one.measured_deg_per_hand)


def _from_counts(counted: list[Evidence]) -> Finding | None:
    implied = np.array([one.sun_height_deg / one.hands for one in counted])
    rule = float(np.mean([one.rule_deg_per_hand for one in counted]))
    mean = float(implied.mean())
    error = float(implied.std(ddof=1) / np.sqrt(implied.size))
    half = float(stats.t.ppf(0.975, implied.size - 1)) * error
    if abs(mean - rule) < max(LEAST_DEG, half):
        return None
    cost = abs(rule - mean) * float(np.mean([one.hands for one in counted]))
    return Finding(
        name=NAME,
        says=_(
            "By your counts one of your hands covers about %(hand)s (good to ±%(half)s), but you "
            "turn %(rule)s for each."
        )
        % {"hand": degrees(mean), "half": degrees(half), "rule": degrees(rule)},
        change=_(
            "Have your hand measured at arm’s length, and turn that many degrees for each hand "
            "instead of the rule’s."
        ),
        rests_on=tuple(counted),
        certainty=Certainty.LIKELY if abs(mean - rule) > 2.0 * half else Certainty.HINT,
        size_deg=cost,
    )
