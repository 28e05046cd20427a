"""What students laid, what was measured, and what follows from it."""

from assessments.models.attempts import Attempt
from assessments.models.revisions import Revision, Side, Verdict

__all__ = ["Attempt", "Revision", "Side", "Verdict"]
