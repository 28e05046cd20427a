"""What students laid, what was measured, and what follows from it."""

from assessments.models.attempts import Attempt
from assessments.models.field import Arrival, FieldDevice, HeadcountEvent, LeadNote
from assessments.models.revisions import NoResult, Revision, Side, Verdict
from assessments.models.summaries import RecordSummary

__all__ = [
    "Arrival",
    "Attempt",
    "FieldDevice",
    "HeadcountEvent",
    "LeadNote",
    "NoResult",
    "RecordSummary",
    "Revision",
    "Side",
    "Verdict",
]
