"""Whose drills stand in a calendar, and who reads the groups. Belongs to `policies`."""

from django.db.models import Q, QuerySet

from coursework.models import Drill, Enrolment, Group, Person, Role
from coursework.policies import is_school_admin, visible_cohorts, visible_drills


def visible_groups(person: Person) -> QuerySet[Group]:
    """Who is in which group is for those who instruct the cohort; students read their names."""
    return Group.objects.filter(cohort__in=visible_cohorts(person).order_by().values("pk"))


def own_drills(person: Person) -> QuerySet[Drill]:
    """Those that stand in someone's calendar: what they may see, less other groups' drills.

    A student of a cohort who leads or assists nothing there is in the drills of the whole
    cohort and of their own groups.
    """
    drills = visible_drills(person)
    if is_school_admin(person):
        return drills
    held = Enrolment.objects.filter(person=person).order_by()
    instructed = held.filter(role__in=(Role.LEAD, Role.ASSISTANT)).values("cohort")
    # Joined once for each group: two rows of one drill would be told twice.
    theirs = Drill.groups.through.objects.filter(group__students=person).values("drill")
    grouped = Drill.groups.through.objects.values("drill")
    return drills.filter(
        Q(cohort__in=instructed) | Q(pk__in=theirs) | Q(lead=person) | ~Q(pk__in=grouped)
    )
