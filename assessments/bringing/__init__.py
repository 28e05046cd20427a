"""Results from a file: read, held against the drills, looked at, and only then stored."""

from assessments.bringing.plan import Plan, PlannedRow, import_attempts, plan_attempts
from assessments.bringing.reading import AttemptFile, AttemptRow, read_attempts

__all__ = [
    "AttemptFile",
    "AttemptRow",
    "Plan",
    "PlannedRow",
    "import_attempts",
    "plan_attempts",
    "read_attempts",
]
