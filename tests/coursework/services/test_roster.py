"""Rosters brought into a cohort: what is planned, what is done, and done once."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from coursework import services
from coursework.models import Enrolment, Person, Role
from coursework.roster import read_roster
from tests import builders

pytestmark = pytest.mark.django_db
TODAY = date(2026, 6, 20)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort, username="lead")


def roster(*rows: str):
    return read_roster("\n".join(["name,username,email,role", *rows]).encode())


def plan(lead, cohort, *rows: str):
    return services.plan_roster(lead, cohort, roster(*rows), today=TODAY)


def bring_in(lead, cohort, *rows: str):
    return services.import_roster(lead, cohort, roster(*rows), today=TODAY)


def state() -> tuple:
    return (
        list(Person.objects.order_by("id").values()),
        list(Enrolment.objects.order_by("id").values()),
    )


ROWS = ["Aino Lehto,aino,,assistant", "Teo Marchetti,,teo@x.example,", "Aino Lehto,aino,,student"]


def test_planning_stores_nothing(lead, cohort):
    before = state()
    found = plan(lead, cohort, *ROWS)
    assert (found.new_number, found.role_number, found.can_be_done) == (2, 3, True)
    assert state() == before


def test_new_people_get_accounts_without_a_password_and_their_roles(lead, cohort):
    done = bring_in(lead, cohort, *ROWS)
    aino = Person.objects.get(username="aino")
    assert {person.username for person in done.new_people} == {"aino", "teo@x.example"}
    assert set(aino.enrolments.values_list("role", flat=True)) == {Role.ASSISTANT, Role.STUDENT}
    assert not aino.has_usable_password()
    assert aino.school == cohort.course.school


def test_the_same_file_again_changes_nothing(lead, cohort):
    bring_in(lead, cohort, *ROWS)
    before = state()
    assert plan(lead, cohort, *ROWS).changes_nothing
    bring_in(lead, cohort, *ROWS)
    assert state() == before


def test_capitals_in_a_sign_in_name_make_no_second_person(lead, cohort):
    bring_in(lead, cohort, "Élodie,Élodie,,", "Aino,aino,,")
    assert plan(lead, cohort, "Élodie,Élodie,,", "Aino,AINO,,").changes_nothing


def test_a_person_found_by_e_mail_is_that_person(lead, cohort):
    known = builders.person(school=lead.school, name="Aino", email="Aino@x.example")
    (planned,) = plan(lead, cohort, "Aino,,aino@x.example,").rows
    assert (planned.person, planned.makes_account, planned.gives_role) == (known, False, True)


def test_another_name_in_the_file_is_noted_and_the_name_stays(lead, cohort):
    builders.person(school=lead.school, username="aino", name="Aino Lehto")
    (planned,) = plan(lead, cohort, "Aino L.,aino,,").rows
    assert planned.notes == ("Is in the school as “Aino Lehto”; the name stays.",)
    bring_in(lead, cohort, "Aino L.,aino,,")
    assert Person.objects.get(username="aino").name == "Aino Lehto"


def test_a_name_of_another_school_is_taken_and_nothing_is_told_of_its_owner(lead, cohort):
    builders.person(username="aino", name="Secret")
    (planned,) = plan(lead, cohort, "Aino,aino,,").rows
    assert planned.faults == ("Someone already has the sign-in name “aino”.",)


def test_a_closed_account_is_a_fault(lead, cohort):
    builders.person(school=lead.school, username="aino", name="Aino", is_active=False)
    (planned,) = plan(lead, cohort, "Aino,aino,,").rows
    assert planned.faults == ("The account of Aino is closed. Reopen it first.",)


def test_one_sign_in_name_for_two_names_is_a_fault_at_the_second(lead, cohort):
    first, second = plan(lead, cohort, "Aino,aino,,", "Teo,aino,,").rows
    assert not first.faults
    assert second.faults == ("Line 2 has the same sign-in name and another name.",)


def test_a_row_twice_does_nothing_the_second_time_and_says_so(lead, cohort):
    _first, second = plan(lead, cohort, "Aino,aino,,", "Aino,aino,,").rows
    assert second.does_nothing
    assert second.notes == ("The same as line 2.",)


def test_one_faulty_row_keeps_the_whole_file_out(lead, cohort):
    before = state()
    with pytest.raises(ValidationError, match="some rows have to be put right"):
        bring_in(lead, cohort, "Aino,aino,,", ",teo,,")
    assert state() == before


def test_lapsed_first_aid_of_a_new_assistant_is_noted(lead, cohort):
    known = builders.person(school=lead.school, username="aino", name="Aino")
    builders.approval(
        person=known, issued_on=TODAY - timedelta(days=900), expires_on=TODAY - timedelta(days=1)
    )
    (planned,) = plan(lead, cohort, "Aino,aino,,assistant").rows
    assert "first aid lapsed on 19 June 2026" in planned.notes


def test_planning_takes_as_many_queries_for_many_rows_as_for_one(
    lead, cohort, django_assert_num_queries
):
    few = [f"P{i},known{i},," for i in range(2)]
    many = [f"P{i},known{i},," for i in range(60)]
    for i in range(60):
        builders.person(school=lead.school, username=f"known{i}", name=f"P{i}")
    for rows in (few, many):
        with django_assert_num_queries(4):
            plan(lead, cohort, *rows)


@pytest.mark.parametrize("role", ["assistant", "student"])
def test_only_who_arranges_the_cohort_brings_in_a_roster(cohort, role):
    by = getattr(builders, role)(cohort)
    with pytest.raises(PermissionDenied):
        services.import_roster(by, cohort, roster("A,a,,"), today=timezone.now().date())
