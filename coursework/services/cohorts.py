"""Starting a cohort, and who belongs to it."""

from collections.abc import Iterable

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Cohort, Enrolment, Person, Role


@transaction.atomic
def start_cohort(by: Person, cohort: Cohort, *, leads: bool = False) -> Cohort:
    """Save a new cohort; a course lead who starts one leads it, an administrator only if asked."""
    policies.require(policies.may_arrange_school(by) and cohort.course.school_id == by.school_id)
    if cohort.course.is_draft:
        raise ValidationError(_("A cohort takes a published version of a course."))
    cohort.save()
    if leads or not by.is_school_admin:
        Enrolment.objects.create(cohort=cohort, person=by, role=Role.LEAD)
    return cohort


@transaction.atomic
def enrol(by: Person, cohort: Cohort, people: Iterable[Person], role: str) -> list[Enrolment]:
    """Give people of the school a role in a cohort; ValidationError names who has it already."""
    policies.require(policies.may_arrange_cohort(by, cohort))
    people = list(people)
    policies.require(all(person.school_id == cohort.course.school_id for person in people))
    there = Enrolment.objects.filter(cohort=cohort, role=role, person__in=people)
    if names := [row.person.name for row in there.select_related("person")]:
        raise ValidationError(
            _("Already %(role)s in this cohort: %(names)s."),
            params={"role": Role(role).label, "names": ", ".join(names)},
        )
    return Enrolment.objects.bulk_create(
        [Enrolment(cohort=cohort, person=person, role=role) for person in people]
    )


@transaction.atomic
def add_person(
    by: Person, cohort: Cohort, *, name: str, username: str, password: str, role: str
) -> Person:
    """Make a new person of the school with a first password, and give them a role in a cohort."""
    policies.require(policies.may_arrange_cohort(by, cohort))
    person = Person(name=name, username=username, school=cohort.course.school)
    person.set_password(password)
    person.full_clean()
    person.save()
    enrol(by, cohort, [person], role)
    return person


@transaction.atomic
def withdraw(by: Person, enrolment: Enrolment) -> None:
    """Take a role in a cohort from someone; their results stay. The only lead stays too."""
    policies.require(policies.may_arrange(by, enrolment))
    leads = Enrolment.objects.filter(cohort=enrolment.cohort, role=Role.LEAD)
    if enrolment.role == Role.LEAD and not leads.exclude(pk=enrolment.pk).exists():
        raise ValidationError(
            _("%(name)s is the only course lead of this cohort. Add another one first."),
            params={"name": enrolment.person.name},
        )
    enrolment.delete()
