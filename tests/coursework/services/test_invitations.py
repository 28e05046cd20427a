"""Links that let people in: once, for a while, and only as long as their maker could."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from coursework import services
from coursework.models import Invitation, Person, Role
from tests import builders

pytestmark = pytest.mark.django_db
NOW = timezone.now()
NEW = {"name": "Aino", "username": "aino", "password": "wet-socks-99"}


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


def link(by, cohort, **more):
    wanted = {"role": Role.STUDENT, "days": 7, "asked": uuid4(), "now": NOW}
    if cohort is None:
        wanted["role"] = ""
    (found,) = services.invite(by, cohort=cohort, **wanted | more)
    return found


def test_a_new_person_gets_the_account_and_the_role(lead, cohort):
    person = services.join_new(link(lead, cohort).token, **NEW)
    assert person.check_password("wet-socks-99")
    assert person.school == cohort.course.school
    assert person.enrolments.get().role == Role.STUDENT


def test_the_secret_part_is_stored_nowhere(lead, cohort):
    made = link(lead, cohort)
    assert made.token not in str(Invitation.objects.values().get())
    assert len(made.token) >= 24


def test_the_same_asking_gives_the_same_links_and_another_one_others(lead, cohort):
    asked = uuid4()
    first, again = link(lead, cohort, asked=asked), link(lead, cohort, asked=asked)
    assert first.token == again.token
    assert Invitation.objects.count() == 1
    tokens = {
        first.token,
        link(lead, cohort).token,
        link(lead, cohort, asked=asked, role=Role.ASSISTANT).token,
        link(lead, cohort, asked=asked, days=8).token,
        link(builders.lead(cohort), cohort, asked=asked).token,
    }
    assert len(tokens) == 5


def test_several_at_once_are_all_different(lead, cohort):
    links = services.invite(
        lead, cohort=cohort, role=Role.STUDENT, notes=["", "", "Aino"], days=7, asked=uuid4()
    )
    assert len({found.token for found in links}) == 3


def test_a_link_lets_in_once(lead, cohort):
    token = link(lead, cohort).token
    services.join_new(token, **NEW)
    with pytest.raises(services.LinkClosedError, match="used already"):
        services.join_new(token, **NEW | {"username": "other"})
    assert not Person.objects.filter(username="other").exists()


def test_a_link_holds_up_to_its_last_moment_and_not_at_it(lead, cohort):
    token = link(lead, cohort).token
    last = NOW + timedelta(days=7)
    assert services.look_up(token, last - timedelta(microseconds=1)) is not None
    with pytest.raises(services.LinkClosedError, match="expired"):
        services.look_up(token, last)


def test_a_link_taken_back_lets_no_one_in(lead, cohort):
    made = link(lead, cohort)
    services.revoke(lead, made.invitation)
    with pytest.raises(services.LinkClosedError, match="taken back"):
        services.join_new(made.token, **NEW)


def test_a_used_link_cannot_be_taken_back(lead, cohort):
    made = link(lead, cohort)
    services.join_new(made.token, **NEW)
    made.invitation.refresh_from_db()
    with pytest.raises(ValidationError, match="used already"):
        services.revoke(lead, made.invitation)


def test_an_unknown_link_is_nothing():
    assert services.look_up("a" * 24) is None
    with pytest.raises(services.LinkClosedError, match="not known"):
        services.join_new("a" * 24, **NEW)


def test_a_taken_sign_in_name_leaves_the_link_open(lead, cohort):
    builders.person(username="aino")
    token = link(lead, cohort).token
    with pytest.raises(ValidationError):
        services.join_new(token, **NEW)
    assert services.look_up(token) is not None


def test_whoever_is_signed_in_gets_the_role_added(lead, cohort):
    person = builders.assistant(cohort)
    services.join_as(link(lead, cohort).token, person)
    assert set(person.enrolments.values_list("role", flat=True)) == {Role.ASSISTANT, Role.STUDENT}


def test_whoever_has_the_role_keeps_the_link_open_for_someone_else(lead, cohort):
    token = link(lead, cohort).token
    with pytest.raises(ValidationError, match="already"):
        services.join_as(token, builders.student(cohort))
    assert services.look_up(token) is not None


def test_an_account_of_another_school_is_not_let_in(lead, cohort):
    person = builders.person()
    with pytest.raises(ValidationError, match="another school"):
        services.join_as(link(lead, cohort).token, person)
    assert not person.enrolments.exists()


def test_an_account_without_a_school_joins_it(lead, cohort):
    person = builders.person(school=None)
    services.join_as(link(lead, cohort).token, person)
    person.refresh_from_db()
    assert person.school == cohort.course.school


def test_a_link_falls_with_the_right_of_its_maker(lead, cohort):
    token = link(lead, cohort).token
    lead.enrolments.all().delete()
    with pytest.raises(services.LinkClosedError, match="may not let people in any more"):
        services.join_new(token, **NEW)


def test_a_link_falls_with_the_account_of_its_maker(lead, cohort):
    token = link(lead, cohort).token
    Person.objects.filter(pk=lead.pk).update(is_active=False)
    with pytest.raises(services.LinkClosedError):
        services.look_up(token)


def test_an_administrator_lets_in_another_one():
    administrator = builders.administrator()
    person = services.join_new(link(administrator, None, makes_admin=True).token, **NEW)
    assert person.is_school_admin
    assert person.school == administrator.school


def test_a_lead_lets_no_one_into_the_school_without_a_cohort(lead):
    with pytest.raises(PermissionDenied):
        link(lead, None, makes_admin=True)


@pytest.mark.parametrize("role", ["assistant", "student"])
def test_who_arranges_nothing_makes_no_link(cohort, role):
    with pytest.raises(PermissionDenied):
        link(getattr(builders, role)(cohort), cohort)


def test_a_lead_takes_back_no_link_of_another_cohort(lead):
    other = builders.invitation()
    with pytest.raises(PermissionDenied):
        services.revoke(lead, other)


def person_link(by, person):
    (found,) = services.invite_to_sign_in(by, [person], days=7, asked=uuid4(), now=NOW)
    return found


def test_a_link_to_an_account_sets_its_password(lead, cohort):
    student = builders.student(cohort, password="old-and-lost-1")
    services.open_account(person_link(lead, student).token, password="found-again-1")
    student.refresh_from_db()
    assert student.check_password("found-again-1")


def test_a_link_to_an_account_makes_no_new_one(lead, cohort):
    token = person_link(lead, builders.student(cohort)).token
    with pytest.raises(services.LinkClosedError):
        services.join_new(token, **NEW)
    with pytest.raises(services.LinkClosedError):
        services.join_as(token, lead)


def test_a_lead_makes_no_link_to_the_account_of_another_lead(lead, cohort):
    with pytest.raises(PermissionDenied):
        person_link(lead, builders.lead(cohort))


def test_a_link_to_an_account_falls_when_its_owner_rises_above_the_maker(lead, cohort):
    student = builders.student(cohort)
    token = person_link(lead, student).token
    Person.objects.filter(pk=student.pk).update(is_school_admin=True)
    with pytest.raises(services.LinkClosedError):
        services.open_account(token, password="found-again-1")
