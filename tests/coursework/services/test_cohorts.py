"""Starting cohorts, and people coming and going."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.models import Cohort, Enrolment, Person, Role
from tests import builders

pytestmark = pytest.mark.django_db


def unsaved(course) -> Cohort:
    return Cohort(course=course, name="New", starts_on=date(2026, 6, 1), ends_on=date(2026, 6, 5))


def roles_of(person) -> list[str]:
    return sorted(person.enrolments.values_list("role", flat=True))


def test_a_lead_who_starts_a_cohort_leads_it():
    lead = builders.lead(builders.cohort())
    cohort = services.start_cohort(lead, unsaved(builders.course(school=lead.school)))
    assert Enrolment.objects.get(cohort=cohort).person == lead


def test_an_administrator_who_starts_a_cohort_has_no_role_in_it():
    administrator = builders.administrator()
    course = builders.course(school=administrator.school)
    cohort = services.start_cohort(administrator, unsaved(course))
    assert not cohort.enrolments.exists()


def test_no_one_starts_a_cohort_of_another_schools_course():
    with pytest.raises(PermissionDenied):
        services.start_cohort(builders.administrator(), unsaved(builders.course()))
    assert not Cohort.objects.exists()


def test_several_people_get_a_role_at_once():
    cohort = builders.cohort()
    lead = builders.lead(cohort)
    people = [builders.person(school=lead.school) for _ in range(3)]
    services.enrol(lead, cohort, people, Role.STUDENT)
    assert {roles_of(person)[0] for person in people} == {Role.STUDENT}


def test_no_one_gets_a_role_twice_and_then_no_one_else_gets_it_either():
    cohort = builders.cohort()
    lead, student = builders.lead(cohort), builders.student(cohort, name="Lena")
    newcomer = builders.person(school=lead.school)
    with pytest.raises(ValidationError, match="Already student in this cohort: Lena"):
        services.enrol(lead, cohort, [newcomer, student], Role.STUDENT)
    assert not newcomer.enrolments.exists()


def test_a_person_may_hold_two_roles():
    cohort = builders.cohort()
    lead = builders.lead(cohort)
    services.enrol(lead, cohort, [lead], Role.STUDENT)
    assert roles_of(lead) == [Role.LEAD, Role.STUDENT]


def test_people_of_another_school_are_not_let_in():
    cohort = builders.cohort()
    with pytest.raises(PermissionDenied):
        services.enrol(builders.lead(cohort), cohort, [builders.person()], Role.STUDENT)


def test_an_assistant_lets_no_one_in():
    cohort = builders.cohort()
    with pytest.raises(PermissionDenied):
        services.enrol(builders.assistant(cohort), cohort, [], Role.STUDENT)


NEW = {"name": "Rua", "username": "rua", "password": "wet-socks-9", "role": Role.STUDENT}


def test_a_new_person_can_sign_in_and_has_the_role():
    cohort = builders.cohort()
    person = services.add_person(builders.lead(cohort), cohort, **NEW)
    assert person.check_password("wet-socks-9")
    assert person.school == cohort.course.school
    assert roles_of(person) == [Role.STUDENT]


def test_a_sign_in_name_that_is_taken_makes_no_person():
    cohort = builders.cohort()
    lead = builders.lead(cohort, username="rua")
    with pytest.raises(ValidationError, match="already exists"):
        services.add_person(lead, cohort, **NEW)
    assert Person.objects.get() == lead


def test_whoever_is_withdrawn_keeps_the_account():
    cohort = builders.cohort()
    row = builders.enrolment(cohort=cohort)
    services.withdraw(builders.lead(cohort), row)
    assert not row.person.enrolments.exists()
    assert Person.objects.filter(pk=row.person_id).exists()


def test_the_only_lead_stays():
    cohort = builders.cohort()
    lead = builders.lead(cohort, name="Mo")
    with pytest.raises(ValidationError, match="Mo is the only course lead"):
        services.withdraw(lead, lead.enrolments.get())
    assert roles_of(lead) == [Role.LEAD]


def test_one_of_two_leads_may_go():
    cohort = builders.cohort()
    lead, other = builders.lead(cohort), builders.lead(cohort)
    services.withdraw(lead, other.enrolments.get())
    assert roles_of(other) == []
