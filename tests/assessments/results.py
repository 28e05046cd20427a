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
    "pole-star": {"times": "2025-06-20T23:30:00+02:00"},
    "southern-cross": {"times": "2025-06-20T23:30:00+02:00"},
}
DONE = "2025-06-20T10:30:00+02:00"
TRAVELLED = {
    "pace-count": {"paces": "268", "paces_per_100_m": "65", "measured_m": "400"},
    "distance": {"told_m": "350", "measured_m": "400", "measured_u_m": "2"},
    "compass-leg": {
        "start_lat": "46.72",
        "start_lon": "8.18",
        "goal_lat": "46.7254",
        "goal_lon": "8.18",
        "arrival_lat": "46.7252",
        "arrival_lon": "8.1803",
    },
    "position": {
        "true_lat": "46.72",
        "true_lon": "8.18",
        "plotted_lat": "46.7205",
        "plotted_lon": "8.1793",
        "point_u_m": "3",
    },
    "checklist": {},
}
LINES, TRAVEL = list(OBSERVED), list(TRAVELLED)
"""The methods that lay a line, and those that do not."""
JUDGED = {
    "pace-count": {"tolerance": 5.0},
    "distance": {"tolerance": 20.0},
    "compass-leg": {"tolerance": 50.0, "judged_on": "arrival"},
    "position": {"tolerance": 100.0},
    "checklist": {"tolerance": 0.0},
}


def drill(method: str = "shadow-tip", **fields):
    if "cohort" not in fields:
        fields["cohort"] = builders.cohort()
    if "exercise" not in fields:
        standard = JUDGED.get(method, {}) | fields.pop("standard", {})
        fields["exercise"] = builders.exercise(
            course=fields["cohort"].course, method=method, **standard
        )
    if method == "southern-cross" and "site" not in fields:
        # As far south as the usual place is north; its clock is kept for ease.
        school = fields["cohort"].course.school
        fields["site"] = builders.site(school=school, latitude_deg=-46.72)
    return builders.drill(**{"starts_at": JUNE_MORNING} | fields)


def observation(method: str = "shadow-tip", **fields) -> Observation:
    """Checked directly at 350 degrees, where a line was laid; `columns` replaces some of it."""
    if method in TRAVELLED:
        columns = {"times": DONE} | TRAVELLED[method]
        return Observation(columns=columns | fields.pop("columns", {}), **fields)
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
