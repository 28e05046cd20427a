"""Fast builders of what tests need: each makes one thing, and what it hangs on where not given.

Names and places are invented. Every argument has a default, so a test names only what matters
to it.
"""

from datetime import UTC, date, datetime, timedelta
from itertools import count

from django.utils import timezone

from coursework.models import (
    Approval,
    Aspect,
    Cohort,
    Course,
    Decision,
    Drill,
    Enrolment,
    Exercise,
    FollowUp,
    Group,
    Harm,
    Incident,
    Instrument,
    InstrumentCheck,
    Invitation,
    Lesson,
    Method,
    Person,
    PlannedLesson,
    ReferenceMark,
    Role,
    School,
    Site,
)

_numbers = count(1)
SPRING = datetime(2026, 3, 1, 9, 0, tzinfo=UTC)
# Midsummer, 09:30 by the clock of the default site: a shadow-tip line is far off then.
MIDSUMMER_MORNING = datetime(2026, 6, 20, 7, 30, tzinfo=UTC)


def school(**fields) -> School:
    return School.objects.create(**{"name": f"School {next(_numbers)}"} | fields)


def person(**fields) -> Person:
    """Someone of a school who can sign in by `force_login`; no password unless given."""
    number = next(_numbers)
    password = fields.pop("password", None)
    if "school" not in fields:
        fields["school"] = school()
    made = Person(**{"username": f"person{number}", "name": f"Person {number}"} | fields)
    if password is not None:
        made.set_password(password)
    made.save()
    return made


def administrator(**fields) -> Person:
    return person(is_school_admin=True, **fields)


def site(**fields) -> Site:
    """A level, open place in the Alps, unless said otherwise."""
    if "school" not in fields:
        fields["school"] = school()
    defaults = {
        "name": f"Meadow {next(_numbers)}",
        "latitude_deg": 46.72,
        "longitude_deg": 8.18,
        "elevation_m": 1050.0,
        "zone": "Europe/Zurich",
    }
    return Site.objects.create(**defaults | fields)


def mark(**fields) -> ReferenceMark:
    if "site" not in fields:
        fields["site"] = site()
    return ReferenceMark.objects.create(
        **{"name": f"Mast {next(_numbers)}", "bearing_deg": 123.4} | fields
    )


def instrument(**fields) -> Instrument:
    if "school" not in fields:
        fields["school"] = school()
    return Instrument.objects.create(**{"label": f"no. {next(_numbers)}"} | fields)


def course(**fields) -> Course:
    """A published course, so that a cohort can take it; see `draft`."""
    if "school" not in fields:
        fields["school"] = school()
    defaults = {"title": f"Course {next(_numbers)}", "published_at": SPRING}
    return Course.objects.create(**defaults | fields)


def draft(**fields) -> Course:
    """A course that is not published yet."""
    return course(published_at=None, **fields)


def lesson(**fields) -> Lesson:
    """A lesson of an hour, of a draft unless said otherwise."""
    if "course" not in fields:
        fields["course"] = draft()
    return Lesson.objects.create(**{"title": f"Lesson {next(_numbers)}"} | fields)


def exercise(**fields) -> Exercise:
    """A shadow-tip line towards north within 15 degrees, unless said otherwise."""
    if "course" not in fields:
        fields["course"] = course()
    defaults = {
        "title": f"Exercise {next(_numbers)}",
        "method": Method.SHADOW_TIP,
        "task": "Lay a line towards north.",
        "steps": "Sets the stick upright.\nMarks the first tip.\nMarks the last tip.",
    }
    return Exercise.objects.create(**defaults | fields)


def cohort(**fields) -> Cohort:
    if "course" not in fields:
        fields["course"] = course(**{"school": fields.pop("school")} if "school" in fields else {})
    fields.pop("school", None)
    defaults = {
        "name": f"Cohort {next(_numbers)}",
        "starts_on": date(2026, 6, 1),
        "ends_on": date(2026, 9, 30),
    }
    return Cohort.objects.create(**defaults | fields)


def enrolment(**fields) -> Enrolment:
    """A student of the cohort's own school, unless said otherwise."""
    if "cohort" not in fields:
        fields["cohort"] = cohort()
    if "person" not in fields:
        fields["person"] = person(school=fields["cohort"].course.school)
    return Enrolment.objects.create(**{"role": Role.STUDENT} | fields)


def approval(**fields) -> Approval:
    """First aid that holds for a year more, recorded by an administrator of the school."""
    if "person" not in fields:
        fields["person"] = person()
    if "recorded_by" not in fields:
        fields["recorded_by"] = administrator(school=fields["person"].school)
    today = timezone.now().date()
    defaults = {
        "kind": Approval.Kind.FIRST_AID,
        "issued_on": today - timedelta(days=365),
        "expires_on": today + timedelta(days=365),
    }
    return Approval.objects.create(**defaults | fields)


def invitation(**fields) -> Invitation:
    """An open link for a student of a cohort; its secret part is not known."""
    if "cohort" not in fields:
        fields["cohort"] = cohort()
    school_of_it = fields["cohort"].course.school
    if "made_by" not in fields:
        fields["made_by"] = administrator(school=school_of_it)
    defaults = {
        "school": school_of_it,
        "role": Role.STUDENT,
        "token_hash": f"{next(_numbers):064d}",
        "expires_at": timezone.now() + timedelta(days=7),
    }
    return Invitation.objects.create(**defaults | fields)


def lead(in_cohort: Cohort, **fields) -> Person:
    return _member(in_cohort, Role.LEAD, fields)


def assistant(in_cohort: Cohort, **fields) -> Person:
    return _member(in_cohort, Role.ASSISTANT, fields)


def student(in_cohort: Cohort, **fields) -> Person:
    return _member(in_cohort, Role.STUDENT, fields)


def drill(**fields) -> Drill:
    """A shadow-tip drill on a midsummer morning with a cohort, at a site of its school."""
    if "cohort" not in fields:
        fields["cohort"] = cohort()
    course_of_it = fields["cohort"].course
    if "exercise" not in fields:
        fields["exercise"] = exercise(course=course_of_it)
    if "site" not in fields:
        fields["site"] = site(school=course_of_it.school)
    return Drill.objects.create(**{"starts_at": MIDSUMMER_MORNING} | fields)


def planned_lesson(**fields) -> PlannedLesson:
    """A lesson in the school room on the eve of midsummer, 08:00 by UTC, with a cohort."""
    if "cohort" not in fields:
        fields["cohort"] = cohort()
    if "lesson" not in fields:
        fields["lesson"] = lesson(course=fields["cohort"].course)
    if "site" not in fields:
        fields.setdefault("place", "School room")
        fields.setdefault("place_zone", "Europe/Zurich")
    defaults = {"starts_at": datetime(2026, 6, 19, 8, 0, tzinfo=UTC)}
    return PlannedLesson.objects.create(**defaults | fields)


def group(*students: Person, **fields) -> Group:
    """A group of a cohort, nobody in it unless given."""
    if "cohort" not in fields:
        fields["cohort"] = cohort()
    made = Group.objects.create(**{"name": f"Group {next(_numbers)}"} | fields)
    made.students.set(students)
    return made


def instrument_check(**fields) -> InstrumentCheck:
    """Three readings of a mark in January 2026, which its instrument follows."""
    if "instrument" not in fields:
        fields["instrument"] = instrument()
    made_for = fields["instrument"]
    if "site" not in fields:
        fields["site"] = site(school=made_for.school)
    if "checked_by" not in fields:
        fields["checked_by"] = person(school=made_for.school)
    defaults = {
        "mark_name": "Mast",
        "mark_bearing_deg": 123.4,
        "checked_at": datetime(2026, 1, 10, 9, 0, tzinfo=UTC),
        "checked_on": date(2026, 1, 10),
        "readings_deg": [119.0, 120.0, 121.0],
        "resolution_deg": 1.0,
        "declination_deg": 3.4,
        "declination_u_deg": 0.4,
        "magnetic_model": "WMM-2025",
        "offset_deg": 0.0,
        "scatter_deg": 1.0,
        "correction_deg": 0.5,
        "correction_u_deg": 0.8,
        "reading_u_deg": 1.3,
    }
    made = InstrumentCheck.objects.create(**defaults | fields)
    made_for.follow_checks()
    return made


def decision(**fields) -> Decision:
    """Go, everything in order, for the drill where and when it is held."""
    if "drill" not in fields:
        fields["drill"] = drill()
    of = fields["drill"]
    if "decided_by" not in fields:
        fields["decided_by"] = lead(of.cohort)
    defaults = {
        "outcome": "go",
        "aspects": {name: {"concern": False, "note": ""} for name in Aspect.values},
        "heat_limits": {"measure": "wbgt", "unit": "C", "care": None, "stop": None},
        "reason": "Settled weather.",
        "site": of.site,
        "starts_at": of.starts_at,
    }
    return Decision.objects.create(**defaults | fields)


def incident(**fields) -> Incident:
    """A near miss of June 2026 at a site, nobody hurt."""
    if "school" not in fields:
        fields["school"] = school()
    if "reported_by" not in fields:
        fields["reported_by"] = person(school=fields["school"])
    if "site" not in fields:
        fields["site"] = site(school=fields["school"])
    defaults = {
        "kind": Incident.Kind.NEAR_MISS,
        "occurred_at": MIDSUMMER_MORNING,
        "zone": "Europe/Zurich",
        "what": "Somebody slipped on the wet bank.",
        "harm": Harm.NONE,
        "action": "Everyone was called in and counted.",
    }
    return Incident.objects.create(**defaults | fields)


def follow_up(**fields) -> FollowUp:
    """Something to do by the end of July 2026, not done."""
    if "incident" not in fields:
        fields["incident"] = incident()
    about = fields["incident"]
    if "person" not in fields:
        fields["person"] = person(school=about.school)
    defaults = {
        "task": "Fix a hand line.",
        "due_on": date(2026, 7, 31),
        "added_by": about.reported_by,
    }
    return FollowUp.objects.create(**defaults | fields)


def _member(in_cohort: Cohort, role: Role, fields: dict) -> Person:
    made = person(**{"school": in_cohort.course.school} | fields)
    enrolment(cohort=in_cohort, person=made, role=role)
    return made
