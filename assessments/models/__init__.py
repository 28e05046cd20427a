"""What students laid, what was measured, and what follows from it."""

from assessments.models.attempts import Attempt
from assessments.models.revisions import Revision, Side, Verdict
from assessments.models.summaries import RecordSummary

__all__ = ["Attempt", "RecordSummary", "Revision", "Side", "Verdict"]
