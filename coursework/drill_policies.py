"""Whose drills and lessons stand in a calendar, and who reads the groups. Belongs to `policies`."""

from django.db.models import Q, QuerySet

from coursework.models import Drill, Enrolment, Group, Person, PlannedLesson, Role
from coursework.policies import (
    is_school_admin,
    visible_cohorts,
    visible_drills,
    visible_planned_lessons,
)


def visible_groups(person: Person) -> QuerySet[Group]:
    """Who is in which group is for those who instruct the cohort; students read their names."""
    return Group.objects.filter(cohort__in=visible_cohorts(person).order_by().values("pk"))


def own_drills(person: Person) -> QuerySet[Drill]:
    """Those that stand in someone's calendar: what they may see, less other groups' drills.

    A student of a cohort who leads or assists nothing there is in the drills of the whole
    cohort and of their own groups.
    """
    return _own(person, visible_drills(person))


def own_planned_lessons(person: Person) -> QuerySet[PlannedLesson]:
    """The same of planned lessons."""
    return _own(person, visible_planned_lessons(person))


def _own(person: Person, rows: QuerySet) -> QuerySet:
    if is_school_admin(person):
        return rows
    held = Enrolment.objects.filter(person=person).order_by()
    instructed = held.filter(role__in=(Role.LEAD, Role.ASSISTANT)).values("cohort")
    # Joined once for each group: two rows of one drill would be told twice.
    between = rows.model.groups.through.objects
    column = rows.model._meta.model_name
    theirs = between.filter(group__students=person).values(column)
    grouped = between.values(column)
    return rows.filter(
        Q(cohort__in=instructed) | Q(pk__in=theirs) | Q(lead=person) | ~Q(pk__in=grouped)
    )
