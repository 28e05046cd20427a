"""What a student's numbers carry, in words: each finding with its evidence and how sure it is."""

from collections.abc import Sequence
from dataclasses import dataclass

from assessments.findings import cancelled, hand, magnetic, marks, pull, swapped, watch_time
from assessments.findings.evidence import Certainty, Evidence, Finding, NotYet

LOOKS_FOR = (swapped, cancelled, hand, watch_time, magnetic, marks, pull)
MOST_TOLD = 3
"""More than this at once helps no one."""
OF_LATE = 10
"""So many lines are what someone does now (common practice, no source)."""

__all__ = ["Certainty", "Evidence", "Finding", "Found", "NotYet", "look"]


@dataclass(frozen=True)
class Found:
    """Findings, and what needs more attempts.

    What shows in one of the last lines comes first, then the surest, then the costliest.
    """

    findings: tuple[Finding, ...]
    not_yet: tuple[NotYet, ...]

    @property
    def told(self) -> tuple[Finding, ...]:
        return self.findings[:MOST_TOLD]

    @property
    def folded(self) -> tuple[Finding, ...]:
        return self.findings[MOST_TOLD:]


def look(evidence: Sequence[Evidence]) -> Found:
    """Look through attempts, in any order, for everything that is known to go wrong."""
    ordered = sorted(evidence, key=lambda one: one.observed_at)
    results = [module.find(ordered) for module in LOOKS_FOR]
    findings = [result for result in results if isinstance(result, Finding)]
    findings = [finding for finding in findings if not _told_otherwise(finding, findings)]
    now = {one.key for one in ordered[-OF_LATE:]}

    def place(finding: Finding) -> tuple[bool, int, float]:
        is_past = now.isdisjoint(one.key for one in finding.rests_on)
        return is_past, -finding.certainty, -finding.size_deg

    findings.sort(key=place)
    return Found(tuple(findings), tuple(result for result in results if isinstance(result, NotYet)))


def _told_otherwise(finding: Finding, findings: Sequence[Finding]) -> bool:
    """Whether a pull is one that another finding explains in most of its lines."""
    if finding.name != pull.NAME:
        return False
    pulled = {one.key for one in finding.rests_on}
    return any(
        2 * len(pulled & {one.key for one in other.rests_on}) > len(pulled)
        for other in findings
        # A mere hint explains nothing away.
        if other.name in (magnetic.NAME, watch_time.NAME, hand.NAME)
        and other.certainty > Certainty.HINT
    )
