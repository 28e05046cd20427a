"""What a device carries: the drills of these days, who is in them, who is out, who was heard.

All of it is for one person; nothing students shared about themselves is in it.
"""

from collections import defaultdict
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count
from django.urls import reverse
from django.utils.translation import gettext as _

from assessments import policies
from assessments.field.form import form_tag
from assessments.field.standard import standard_tag
from assessments.manual.contents import all_pages
from assessments.models import Attempt, FieldDevice, HeadcountEvent
from coursework.coordinates import decimal_text
from coursework.models import Drill, Enrolment, Group, Instrument, Person, ReferenceMark, Role
from coursework.wording import said_of, short_date

BEFORE, AFTER = timedelta(hours=20), timedelta(days=4)
"""How far back a drill may have begun, and how far ahead one may lie, to be carried along."""
MOST_DRILLS = 40
REMEMBERED = timedelta(hours=36)
"""How long a device that is not heard any more is still named."""


def day_of(person: Person, *, device: str, now: datetime) -> dict[str, Any]:
    """What the device `device` of `person` is to carry, as JSON values."""
    near = policies.field_drills(person).between(now - BEFORE, now + AFTER)
    drills = list(near.with_places().prefetch_related("groups")[:MOST_DRILLS])
    people = _people(person, drills)
    logged = _logged(drills)
    events = _events(drills)
    names = _names(events)
    devices = _devices(person, people, drills, device=device, now=now)
    groups = _groups(drills)
    instruments, marks = _instruments(person), _marks(drills)
    manual = _manual()
    return {
        "person": {"id": person.pk, "name": str(person)},
        "now": now.isoformat(),
        "drills": [
            _drill(drill, now)
            | {
                **_taken_out(drill, people[drill.cohort_id]["students"], groups, logged),
                "form_tag": form_tag(drill, instruments, marks[drill.site_id]),
                "events": events[drill.pk],
                "others": names,
                "devices": devices[drill.cohort_id],
                "help": manual.get(drill.exercise.method, manual["assistant"]),
            }
            for drill in drills
        ],
        "help": manual["assistant"],
        "notes": policies.visible_notes(person).filter(settled_at=None).count(),
    }


def _drill(drill: Drill, now: datetime) -> dict[str, Any]:
    exercise, site = drill.exercise, drill.site
    rally = site.rally_position
    return {
        "pk": drill.pk,
        "title": exercise.title,
        "method": exercise.method,
        "method_name": exercise.get_method_display(),
        "task": exercise.task,
        "standard": standard_tag(drill),
        "standard_words": " ".join(str(sentence) for sentence in exercise.standard_in_words),
        "assessed": drill.assessed,
        "cancelled": drill.cancel_reason or _("no reason given") if drill.is_cancelled else None,
        "cohort": drill.cohort.name,
        "site": site.name,
        "zone": site.zone,
        "when": f"{_clock(drill.local_start)} – {drill.local_end:%H:%M}",
        "ends_at": drill.ends_at.isoformat(),
        "is_today": drill.is_today(now),
        "lost_steps": site.lost_step_list,
        "rally": site.rally_words,
        "rally_position": decimal_text(rally) if rally else "",
        "safe_heading": _safe_heading(site),
        "emergency": site.emergency,
        "desk": reverse("drill-detail", args=[drill.pk]),
        "headcount_sheet": reverse("headcount-sheet", args=[drill.pk]),
    }


def _manual() -> dict[str, dict[str, str]]:
    """The manual's pages by name, each as a way to it: its address and what the link says."""
    said = _("Manual: %s (needs signal)")
    return {
        page.name: {"address": page.address, "words": said % page.title} for page in all_pages()
    }


def _clock(moment: datetime) -> str:
    return f"{short_date(moment, 'D j M')}, {moment:%H:%M}"


def _safe_heading(site) -> str:
    if site.safe_heading_deg is None:
        return ""
    heading = site.get_safe_heading_deg_display()
    return said_of(str(heading), site.safe_heading_to) if site.safe_heading_to else str(heading)


def _groups(drills: list[Drill]) -> dict[int, list[tuple[Group, set[int]]]]:
    """Each cohort's groups with the numbers of their students."""
    groups = defaultdict(list)
    rows = Group.objects.filter(cohort__in={drill.cohort_id for drill in drills})
    for group in rows.prefetch_related("students"):
        groups[group.cohort_id].append((group, {each.pk for each in group.students.all()}))
    return groups


def _taken_out(drill: Drill, students: list[Person], groups, logged) -> dict[str, Any]:
    """The cohort's students and groups; where the drill takes some groups only, who that is.

    The others are there all the same: groups change on the day, and nobody is left uncounted.
    """
    of_cohort = groups[drill.cohort_id]
    named = {group.pk for group in drill.groups.all()}
    taken = {pk for group, members in of_cohort if group.pk in named for pk in members}
    return {
        "students": [
            _student(each, logged[drill.pk, each.pk]) | {"taken": not named or each.pk in taken}
            for each in students
        ],
        "groups": [
            {
                "name": group.name,
                "students": [each.pk for each in students if each.pk in members],
            }
            for group, members in of_cohort
        ],
    }


def _student(student: Person, logged: int) -> dict[str, Any]:
    hand = student.degrees_per_hand
    return {
        "pk": student.pk,
        "name": str(student),
        "logged": logged,
        "degrees_per_hand": "" if hand is None else f"{hand:g}",
    }


def _people(person: Person, drills: list[Drill]) -> dict[int, dict[str, list[Person]]]:
    """Students (the reader aside) and staff by cohort."""
    people: dict = defaultdict(lambda: {"students": [], "staff": []})
    rows = Enrolment.objects.filter(cohort__in={drill.cohort_id for drill in drills})
    for row in rows.select_related("person").order_by("person__name", "person_id"):
        if row.role != Role.STUDENT:
            people[row.cohort_id]["staff"].append(row.person)
        elif row.person_id != person.pk:
            people[row.cohort_id]["students"].append(row.person)
    return people


def _logged(drills: list[Drill]) -> dict[tuple[int, int], int]:
    rows = Attempt.objects.filter(drill__in=drills).order_by()
    counted = rows.values_list("drill", "student").annotate(number=Count("pk"))
    return defaultdict(int, {(drill, student): number for drill, student, number in counted})


def _events(drills: list[Drill]) -> dict[int, list[dict[str, Any]]]:
    events = defaultdict(list)
    rows = HeadcountEvent.objects.filter(drill__in=drills).select_related("noted_by")
    for event in rows.order_by("noted_at", "id"):
        events[event.drill_id].append(
            {
                "key": str(event.key),
                "drill": event.drill_id,
                "outing": str(event.outing) if event.outing else None,
                "kind": event.kind,
                "students": event.students,
                "due_at": event.due_at.isoformat() if event.due_at else None,
                "number": event.number,
                "noted_at": event.noted_at.isoformat(),
                "by": str(event.noted_by),
            }
        )
    return events


def _names(events) -> dict[int, str]:
    """Whoever was sent out or noted back, in the cohort or no longer."""
    noted = {pk for of in events.values() for event in of for pk in event["students"]}
    return dict(Person.objects.filter(pk__in=noted).values_list("pk", "name"))


def _devices(person: Person, people, drills, *, device: str, now: datetime):
    """The devices of each cohort's staff, this one aside, by cohort."""
    staff = {each.pk for of in people.values() for each in of["staff"]} | {person.pk}
    rows = FieldDevice.objects.filter(person__in=staff, last_heard_at__gt=now - REMEMBERED)
    heard = [
        row
        for row in rows.select_related("person")
        if not (row.person_id == person.pk and str(row.key) == device)
    ]
    return {
        cohort: [
            {
                "name": str(row),
                "heard_at": row.last_heard_at.isoformat(),
                "waiting": row.waiting,
            }
            for row in heard
            if row.person_id == person.pk
            or row.person_id in {each.pk for each in people[cohort]["staff"]}
        ]
        for cohort in {drill.cohort_id for drill in drills}
    }


def _instruments(person: Person) -> list[Instrument]:
    return list(Instrument.objects.filter(school=person.school_id).in_use())


def _marks(drills: list[Drill]) -> dict[int, list[ReferenceMark]]:
    marks = defaultdict(list)
    for mark in ReferenceMark.objects.filter(site__in={drill.site_id for drill in drills}):
        marks[mark.site_id].append(mark)
    return marks
