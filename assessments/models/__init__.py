"""What students laid, what was measured, and what follows from it."""

from assessments.models.attempts import Attempt, Revision

__all__ = ["Attempt", "Revision"]
