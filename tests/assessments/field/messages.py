"""What a device sends, built quickly: one shadow-tip line, unless said otherwise."""

import uuid
from datetime import UTC, datetime

from assessments.field.standard import standard_tag
from tests import builders
from tests.assessments import results

DEVICE = "5a1f6c3e-0f0e-4c39-9f51-1f2a6f6f0001"
CLOCK = "2025-06-20T08:30:00+00:00"
NOTED = datetime(2025, 6, 20, 8, 0, tzinfo=UTC)
FIELDS = {
    "date": "2025-06-20",
    "mark_1": "093000",
    "mark_2": "0946",
    "mark_count": "2",
    "stick_m": "1",
    "mark_u_mm": "5",
    "check": "direct",
    "reading_deg": "350",
    "steps_met": [],
    "sky": "",
    "ground": "",
    "remark": "",
}


def crew(**fields):
    """A drill, its lead and one of its students."""
    drill = results.drill(**fields)
    lead = builders.lead(drill.cohort, name="Tove Haugland")
    return drill, lead, builders.student(drill.cohort, name="Sigrun Aasland")


def result(drill, student, **changes):
    item = {
        "kind": "results",
        "key": str(uuid.uuid4()),
        "drill": drill.pk,
        "student": student.pk,
        "fields": FIELDS,
        "standard": standard_tag(drill),
        "accepted": [],
        "made_at": NOTED.isoformat(),
        "offset_ms": -1500,
    }
    return item | changes


def headcount(drill, what="out", **changes):
    item = {
        "kind": "headcounts",
        "key": str(uuid.uuid4()),
        "what": what,
        "drill": drill.pk,
        "outing": str(uuid.uuid4()),
        "students": [],
        "due_at": None,
        "number": None,
        "noted_at": NOTED.isoformat(),
    }
    return item | changes


def note(drill, **changes):
    item = {
        "kind": "notes",
        "key": str(uuid.uuid4()),
        "drill": drill.pk,
        "about": "Sigrun Aasland, shadow-tip line",
        "said": [["First mark", "09:30"]],
        "reason": "The drill is no longer there.",
        "made_at": NOTED.isoformat(),
    }
    return item | changes


def message(*items, **changes):
    body = {"device": DEVICE, "clock": CLOCK, "waiting": len(items)}
    for kind in ("results", "headcounts", "notes"):
        body[kind] = [item for item in items if item["kind"] == kind]
    return body | changes
