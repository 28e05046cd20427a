"""The day of building: a drill that is on, and what two devices have told of it so far."""

import uuid
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from assessments.field.sending import receive
from coursework.models import Cohort, Drill, Group, Person, Role, Site
from coursework.services import save_group

_DEVICES = (
    uuid.UUID("0b1d6a52-5a3f-4f0e-9c57-1f0c2a7e4b01"),
    uuid.UUID("7c2e8f90-3b6d-4d1a-8e24-6a9d5b3c7f02"),
)


def plan_today(cohort: Cohort, site: Site, *, now: datetime | None = None) -> None:
    """A drill that began a while ago, two groups, and who of them is out by now."""
    now = now or timezone.now()
    local = now.astimezone(site.zone_info)
    begun = local - timedelta(minutes=40 + local.minute % 5)
    midnight = local.replace(hour=0, minute=0)
    starts_at = max(begun, midnight).replace(second=0, microsecond=0)
    exercise = cohort.course.exercises.first()
    lead = cohort.enrolments.filter(role=Role.LEAD).first().person
    drill = Drill(cohort=cohort, exercise=exercise, site=site, starts_at=starts_at, minutes=120)
    drill.lead = lead
    # While an assessed one is on, its students see no results of theirs at that site: whoever
    # looks at the demonstration as a student would find an empty record.
    drill.assessed = False
    drill.full_clean()
    drill.save()
    enrolments = cohort.enrolments.filter(role=Role.STUDENT).order_by("pk")
    students = [row.person for row in enrolments]
    for number, name in enumerate(("Ravens", "Choughs")):
        save_group(lead, Group(cohort=cohort, name=name), students[number::2])
    _tell(drill, students, now)


def _tell(drill: Drill, students: list[Person], now: datetime) -> None:
    """A pair is due in a while, one student is overdue, a third pair is back."""
    staff = drill.cohort.enrolments.exclude(role=Role.STUDENT).order_by("pk")
    people = [row.person for row in staff][:2]
    first, second = people[0], people[-1]
    back = uuid.uuid4()
    early = now - timedelta(minutes=25)
    _send(
        first,
        _DEVICES[0],
        now - timedelta(minutes=2),
        headcounts=[
            _noted(drill, "out", early, students[0:2], due=now + timedelta(minutes=20)),
            _noted(drill, "out", early, students[2:4], due=now, outing=back),
            _noted(drill, "back", now - timedelta(minutes=5), students[2:4], outing=back),
        ],
    )
    _send(
        second,
        _DEVICES[1],
        now - timedelta(minutes=12),
        headcounts=[_noted(drill, "out", early, students[4:5], due=now - timedelta(minutes=6))],
        notes=[_note(drill, students[5], now - timedelta(minutes=15))],
    )


def _send(by: Person, device: uuid.UUID, at: datetime, **items: Any) -> None:
    clock = at - timedelta(seconds=1)
    sent = {"device": str(device), "clock": clock.isoformat(), "waiting": 0, **items}
    answers = receive(by, sent, now=at)
    refused = [answer for answer in answers.values() if answer["state"] != "stored"]
    if refused:
        raise ValueError(refused[0])


def _noted(
    drill: Drill,
    what: str,
    at: datetime,
    students: list[Person],
    *,
    due: datetime | None = None,
    outing: uuid.UUID | None = None,
) -> dict[str, Any]:
    return {
        "key": str(uuid.uuid4()),
        "what": what,
        "drill": drill.pk,
        "outing": str(outing or uuid.uuid4()),
        "students": [student.pk for student in students],
        "due_at": due.isoformat() if due else None,
        "noted_at": at.isoformat(),
    }


def _note(drill: Drill, student: Person, at: datetime) -> dict[str, Any]:
    return {
        "key": str(uuid.uuid4()),
        "drill": drill.pk,
        "about": f"{student.name}, {drill.exercise.title}",
        "said": [["Compass reading", "352°"], ["Remark", "Laid a second line with my stick."]],
        "reason": "The drill was cancelled while this result was on the device, and was taken up.",
        "made_at": at.isoformat(),
    }
