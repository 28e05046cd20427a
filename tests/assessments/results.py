"""Builders of results: one shadow-tip line of a June morning, unless said otherwise."""

from datetime import UTC, datetime

from assessments.models import Attempt
from assessments.observations import Observation
from assessments.services import record_attempt
from tests import builders

JUNE_MORNING = datetime(2025, 6, 20, 7, 0, tzinfo=UTC)
"""09:00 by the clock of the builders' site."""

OBSERVED = {
    "shadow-tip": {"times": "2025-06-20T09:30:00+02:00;2025-06-20T09:46:00+02:00"},
    "first-last": {"date": "2025-06-20", "order": "day"},
    "equal-shadow": {"times": "2025-06-20T10:00:00+02:00"},
    "shortest-shadow": {"times": "2025-06-20T13:28:00+02:00"},
    "hands": {"times": "2025-06-20T09:10:00+02:00", "hands": "3.5", "degrees_per_hand": "9.5"},
    "watch": {"times": "2025-06-20T16:10:00+02:00"},
}


def drill(method: str = "shadow-tip", **fields):
    if "cohort" not in fields:
        fields["cohort"] = builders.cohort()
    if "exercise" not in fields:
        fields["exercise"] = builders.exercise(course=fields["cohort"].course, method=method)
    return builders.drill(**{"starts_at": JUNE_MORNING} | fields)


def observation(method: str = "shadow-tip", **fields) -> Observation:
    """Checked directly at 350 degrees; `columns` replaces some of what was observed."""
    columns = {"check": "direct", "reading_deg": "350"} | OBSERVED[method]
    return Observation(columns=columns | fields.pop("columns", {}), **fields)


def attempt(method: str = "shadow-tip", *, by=None, of=None, student=None, **fields) -> Attempt:
    """A stored result of the drill `of`, by its lead for one of its students."""
    of = of or drill(method)
    return record_attempt(
        by=by or builders.lead(of.cohort),
        drill=of,
        student=student or builders.student(of.cohort),
        observation=observation(method, **fields),
    )
