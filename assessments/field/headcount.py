"""Who is out, from what was noted on any device in any order."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from assessments.models import HeadcountEvent

Kind = HeadcountEvent.Kind


@dataclass(frozen=True)
class Out:
    """A student who was sent out on an outing and is not noted back on it."""

    student: int
    outing: UUID
    since: datetime
    due_at: datetime | None

    def is_overdue(self, now: datetime) -> bool:
        return self.due_at is not None and self.due_at <= now


def who_is_out(events: Iterable[HeadcountEvent]) -> list[Out]:
    """Those not back, the one who is due first standing first; without a due time last.

    The order of the events does not matter: whoever is noted back on an outing is back on it,
    even where that arrives before the note that they went.
    """
    events = list(events)
    back = {
        (event.outing, student)
        for event in events
        if event.kind == Kind.BACK
        for student in event.students
    }
    due: dict[UUID, tuple[datetime, str, datetime | None]] = {}
    for event in events:
        if event.kind in (Kind.OUT, Kind.DUE) and event.outing is not None:
            said = (event.noted_at, str(event.key), event.due_at)
            due[event.outing] = max(due.get(event.outing, said), said, key=lambda one: one[:2])
    out = [
        Out(student, event.outing, event.noted_at, due[event.outing][2])
        for event in events
        if event.kind == Kind.OUT
        for student in event.students
        if (event.outing, student) not in back
    ]
    return sorted(
        out, key=lambda one: (one.due_at is None, one.due_at or one.since, one.student, one.outing)
    )


def last_count(events: Iterable[HeadcountEvent]) -> HeadcountEvent | None:
    """The headcount that was noted last; None where nobody counted."""
    counts = [event for event in events if event.kind == Kind.COUNT]
    return max(counts, key=lambda event: (event.noted_at, str(event.key)), default=None)
