"""Who may see and change what of a school. Every rule of access to coursework stands here.

Roles are held cohort by cohort; a school administrator has every right within the school.
Views load objects through `get_visible` (a stranger gets 404) and then `require` the right to
change them (a reader who may not write gets 403).
"""

from dataclasses import dataclass, field

from django.core.exceptions import PermissionDenied
from django.db.models import Q, QuerySet
from django.shortcuts import get_object_or_404

from coursework.models import (
    Cohort,
    Course,
    Drill,
    Enrolment,
    Exercise,
    Instrument,
    Lesson,
    Person,
    ReferenceMark,
    Role,
    Site,
)


@dataclass(frozen=True)
class Duties:
    """What a person does at their school: the numbers (primary keys) of cohorts by role."""

    arranges_all: bool = False
    leads: frozenset[int] = field(default_factory=frozenset)
    assists: frozenset[int] = field(default_factory=frozenset)
    studies: frozenset[int] = field(default_factory=frozenset)

    @property
    def arranges_school(self) -> bool:
        """Courses, sites and instruments of the school."""
        return self.arranges_all or bool(self.leads)

    @property
    def instructs(self) -> bool:
        """Reads all courses, sites and instruments of the school."""
        return self.arranges_school or bool(self.assists)

    @property
    def has_any(self) -> bool:
        return self.instructs or bool(self.studies)


def duties_of(person: Person) -> Duties:
    """The duties of a person, in one query; none without a school."""
    if person.school_id is None:
        return Duties()
    held: dict[str, set[int]] = {role: set() for role in Role.values}
    rows = Enrolment.objects.filter(person=person, cohort__course__school=person.school_id)
    for role, cohort in rows.values_list("role", "cohort").order_by():
        held[role].add(cohort)
    return Duties(
        arranges_all=person.is_school_admin,
        leads=frozenset(held[Role.LEAD]),
        assists=frozenset(held[Role.ASSISTANT]),
        studies=frozenset(held[Role.STUDENT]),
    )


def get_visible(queryset: QuerySet, **lookup):
    """The one object of an already limited queryset; Http404 where there is none."""
    return get_object_or_404(queryset, **lookup)


def require(condition: bool) -> None:
    """PermissionDenied unless the condition holds."""
    if not condition:
        raise PermissionDenied


def visible_cohorts(person: Person) -> QuerySet[Cohort]:
    """All of the school for its administrator, otherwise those one belongs to in any role."""
    cohorts = Cohort.objects.filter(course__school=person.school_id)
    if person.is_school_admin:
        return cohorts
    own = Enrolment.objects.filter(person=person).values("cohort")
    return cohorts.filter(pk__in=own)


def visible_drills(person: Person) -> QuerySet[Drill]:
    return Drill.objects.filter(cohort__in=visible_cohorts(person).order_by().values("pk"))


def visible_courses(person: Person) -> QuerySet[Course]:
    """All of the school for instructors, for students those of their cohorts and drills."""
    courses = Course.objects.filter(school=person.school_id)
    if instructs_anywhere(person):
        return courses
    taken = visible_cohorts(person).order_by().values("course")
    # After a cohort has moved on, its old drills are still of exercises of the version before.
    drilled = visible_drills(person).order_by().values("exercise__course")
    return courses.filter(Q(pk__in=taken) | Q(pk__in=drilled))


def visible_exercises(person: Person) -> QuerySet[Exercise]:
    return Exercise.objects.filter(course__in=visible_courses(person).order_by().values("pk"))


def visible_lessons(person: Person) -> QuerySet[Lesson]:
    return Lesson.objects.filter(course__in=visible_courses(person).order_by().values("pk"))


def visible_sites(person: Person) -> QuerySet[Site]:
    """All of the school for instructors, for students those where their drills are held."""
    sites = Site.objects.filter(school=person.school_id)
    if instructs_anywhere(person):
        return sites
    return sites.filter(pk__in=visible_drills(person).order_by().values("site"))


def visible_instruments(person: Person) -> QuerySet[Instrument]:
    """Those of the school, for instructors."""
    if not instructs_anywhere(person):
        return Instrument.objects.none()
    return Instrument.objects.filter(school=person.school_id)


def visible_people(person: Person) -> QuerySet[Person]:
    """The people whom someone may put into a cohort: those of the school, for its arrangers."""
    if not may_arrange_school(person):
        return Person.objects.none()
    return Person.objects.filter(school=person.school_id, is_active=True)


def visible_enrolments(person: Person) -> QuerySet[Enrolment]:
    return Enrolment.objects.filter(cohort__in=visible_cohorts(person).order_by().values("pk"))


def may_arrange_school(person: Person) -> bool:
    """Courses, sites and instruments, and starting cohorts: administrators and course leads."""
    return is_school_admin(person) or _holds(person, Role.LEAD)


def may_arrange_cohort(person: Person, cohort: Cohort) -> bool:
    """Its people, its drills and itself: administrators and the leads of this cohort."""
    return _administers(person, cohort) or _holds(person, Role.LEAD, cohort=cohort)


def may_arrange(person: Person, thing) -> bool:
    """Change or remove any one thing of coursework, a person's account aside."""
    match thing:
        case Cohort():
            return may_arrange_cohort(person, thing)
        case Drill() | Enrolment():
            return may_arrange_cohort(person, thing.cohort)
        case Exercise() | Lesson():
            school = thing.course.school_id
        case ReferenceMark():
            school = thing.site.school_id
        case Course() | Site() | Instrument():
            school = thing.school_id
        case _:
            raise TypeError(f"No rule says who arranges {thing!r}.")
    return school == person.school_id and may_arrange_school(person)


def may_assess(person: Person, cohort: Cohort) -> bool:
    """Log and correct results: those who arrange the cohort, and its assistant instructors."""
    return _administers(person, cohort) or _holds(person, Role.LEAD, Role.ASSISTANT, cohort=cohort)


def may_see_people(person: Person, cohort: Cohort) -> bool:
    """Who else is in a cohort, and how they do, is not for students."""
    return may_assess(person, cohort)


def passwords_to_set(person: Person) -> QuerySet[Person]:
    """The people whom someone may give a new first password.

    Administrators everyone of the school but those of the maintenance door; a course lead only
    assistants and students of their cohorts who lead and administer nothing, since whoever sets
    a password can sign in with it.
    """
    if person.school_id is None:
        return Person.objects.none()
    people = Person.objects.filter(school=person.school_id, is_active=True)
    people = people.filter(is_superuser=False, is_staff=False).exclude(pk=person.pk)
    if is_school_admin(person):
        return people
    rows = Enrolment.objects.filter(cohort__course__school=person.school_id).order_by()
    led = rows.filter(person=person, role=Role.LEAD).values("cohort")
    theirs = people.filter(
        is_school_admin=False, pk__in=rows.filter(cohort__in=led).values("person")
    )
    return theirs.exclude(pk__in=rows.filter(role=Role.LEAD).values("person"))


def may_set_password(person: Person, other: Person) -> bool:
    return passwords_to_set(person).filter(pk=other.pk).exists()


def is_school_admin(person: Person) -> bool:
    return person.is_school_admin and person.school_id is not None


def instructs_anywhere(person: Person) -> bool:
    """Whether someone is administrator, or lead or assistant of any cohort of the school."""
    return is_school_admin(person) or _holds(person, Role.LEAD, Role.ASSISTANT)


def is_student_of(person: Person, cohort: Cohort) -> bool:
    return _holds(person, Role.STUDENT, cohort=cohort)


def _administers(person: Person, cohort: Cohort) -> bool:
    return is_school_admin(person) and cohort.course.school_id == person.school_id


def _holds(person: Person, *roles: Role, cohort: Cohort | None = None) -> bool:
    held = Enrolment.objects.filter(
        person=person, role__in=roles, cohort__course__school=person.school_id
    )
    return (held if cohort is None else held.filter(cohort=cohort)).exists()
