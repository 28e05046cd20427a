"""First aid and assessor approvals: when they hold, and what is said of them."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied

from coursework import services
from coursework.models import Approval, Person
from coursework.models.approvals import SOON, standing
from tests import builders

TODAY = date(2026, 6, 20)


@pytest.mark.parametrize(
    ("last", "said"),
    [
        (None, "no first aid on record"),
        (TODAY - timedelta(days=1), "first aid lapsed on 19 June 2026"),
        (TODAY, "first aid holds for the last day today"),
        (TODAY + timedelta(days=1), "first aid lapses in 1 day, on 21 June 2026"),
        (TODAY + SOON - timedelta(days=1), "first aid lapses in 59 days, on 18 August 2026"),
        (TODAY + SOON, ""),
    ],
)
def test_what_is_said_of_an_approval(last, said):
    assert standing("first-aid", last, TODAY) == said


@pytest.mark.django_db
def test_the_approval_that_reaches_furthest_counts():
    person = builders.person()
    for days in (-30, 400, 10):
        builders.approval(
            person=person,
            issued_on=TODAY - timedelta(days=500),
            expires_on=TODAY + timedelta(days=days),
        )
    notes = Approval.objects.staff_notes([person.pk], today=TODAY)
    assert notes == {person.pk: ["no approval as assessor on record"]}


@pytest.mark.django_db
def test_notes_of_many_people_take_one_query(django_assert_num_queries):
    people = [builders.person().pk for _ in range(5)]
    with django_assert_num_queries(1):
        assert len(Approval.objects.staff_notes(people, today=TODAY)) == 5


@pytest.mark.django_db
def test_staff_are_those_who_instruct_now_or_hold_something():
    school = builders.school()
    running = builders.cohort(school=school, starts_on=TODAY, ends_on=TODAY)
    over = builders.cohort(
        school=school,
        starts_on=TODAY - timedelta(days=9),
        ends_on=TODAY - timedelta(days=1),
    )
    lead, holder = builders.lead(running), builders.person(school=school)
    builders.approval(person=holder)
    builders.student(running), builders.lead(over), builders.assistant(running, is_active=False)
    assert set(Person.objects.filter(school=school).staff(TODAY)) == {lead, holder}


@pytest.mark.django_db
def test_an_administrator_records_and_stands_as_the_one_who_did():
    administrator = builders.administrator()
    person = builders.person(school=administrator.school)
    approval = Approval(person=person, kind="assessor", issued_on=TODAY, expires_on=TODAY)
    assert services.record_approval(administrator, approval).recorded_by == administrator


@pytest.mark.django_db
@pytest.mark.parametrize("role", ["lead", "assistant", "student"])
def test_no_one_else_records_one(role):
    cohort = builders.cohort()
    by = getattr(builders, role)(cohort)
    with pytest.raises(PermissionDenied):
        services.record_approval(by, Approval(person=by, issued_on=TODAY, expires_on=TODAY))
