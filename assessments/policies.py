"""Who may see and do what with attempts. Each rule stands here once."""

from datetime import datetime, timedelta

from django.db.models import Q, QuerySet
from django.utils import timezone

from assessments.models import Attempt
from coursework import policies as coursework_policies
from coursework.models import Cohort, Drill, Enrolment, Exercise, Person, Role, Site
from coursework.models.cohorts import LONGEST_MIN

ASSESSING_ROLES = (Role.LEAD, Role.ASSISTANT)


def assessed_cohorts(person: Person) -> QuerySet[Cohort]:
    """The cohorts in which `person` logs results: as lead or assistant, or as administrator."""
    if not person.is_authenticated or not person.is_active or person.school_id is None:
        return Cohort.objects.none()
    cohorts = Cohort.objects.filter(course__school=person.school_id)
    if person.is_school_admin:
        return cohorts
    enrolments = Enrolment.objects.filter(person=person, role__in=ASSESSING_ROLES)
    return cohorts.filter(pk__in=enrolments.values("cohort"))


def visible_attempts(person: Person) -> QuerySet[Attempt]:
    """One's own, and those of the cohorts in which one logs results."""
    if not person.is_authenticated or not person.is_active:
        return Attempt.objects.none()
    return Attempt.objects.filter(Q(student=person) | Q(drill__cohort__in=assessed_cohorts(person)))


def may_log(person: Person, drill: Drill) -> bool:
    """Leads and assistants of the cohort, and the school's administrator."""
    return coursework_policies.may_assess(person, drill.cohort)


def may_correct(person: Person, attempt: Attempt) -> bool:
    """As for logging, and nobody corrects what they did themselves as a student."""
    return attempt.student_id != person.pk and may_log(person, attempt.drill)


def students_to_log(person: Person, drill: Drill) -> QuerySet[Person]:
    """The cohort's students, without the one who logs: nobody assesses themself."""
    enrolments = drill.cohort.enrolments.filter(role=Role.STUDENT)
    return Person.objects.filter(pk__in=enrolments.values("person")).exclude(pk=person.pk)


def students_of_exercise(person: Person, exercise: Exercise) -> QuerySet[Person]:
    """Whose sheet of an exercise `person` may print: their own, and their cohorts' students'."""
    enrolments = Enrolment.objects.filter(
        role=Role.STUDENT, cohort__course__lineage=exercise.course.lineage
    )
    theirs = enrolments.filter(cohort__in=assessed_cohorts(person))
    return Person.objects.filter(
        Q(pk__in=theirs.values("person"))
        | Q(pk__in=enrolments.filter(person=person).values("person"))
    )


def may_see_hours(person: Person, site: Site, *, now: datetime | None = None) -> bool:
    """What would answer a drill at a site: its planner and its sun cards.

    Not for students while an assessed drill of theirs is going on there, whatever else they are.
    """
    now = timezone.now() if now is None else now
    studied = Enrolment.objects.filter(person=person, role=Role.STUDENT).values("cohort")
    begun = Drill.objects.filter(
        site=site,
        assessed=True,
        cohort__in=studied,
        starts_at__lte=now,
        starts_at__gt=now - timedelta(minutes=LONGEST_MIN),
    )
    return all(drill.is_over(now) for drill in begun)
