"""The people of the school: found, looked at, changed, closed, given their data, erased."""

import io
import json
import zipfile

import pytest
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coursework.models import Person, Role
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def administrator(client):
    person = builders.administrator(name="Ada")
    client.force_login(person)
    return person


@pytest.fixture
def cohort(administrator):
    return builders.cohort(school=administrator.school, name="June group")


def names(client, **asked) -> list[str]:
    page = client.get(reverse("person-list"), asked).context["page"]
    return [person.name for person in page]


def test_everyone_of_the_school_is_listed_and_no_one_else(client, administrator, cohort):
    builders.student(cohort, name="Bo")
    builders.person(name="Elsewhere")
    assert names(client) == ["Ada", "Bo"]


def test_people_are_found_by_part_of_a_name_or_sign_in_name(client, administrator, cohort):
    builders.student(cohort, name="Bo Larsen", username="first")
    builders.student(cohort, name="Cy", username="larsson")
    assert names(client, q="LARS") == ["Bo Larsen", "Cy"]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"role": "student"}, ["Bo"]),
        ({"role": "assistant"}, ["Cy"]),
        ({"role": "admin"}, ["Ada"]),
        ({"role": "none"}, ["Di"]),
        ({"account": "closed"}, ["Di"]),
        ({"account": "open"}, ["Ada", "Bo", "Cy"]),
    ],
)
def test_people_are_narrowed_by_role_and_account(client, administrator, cohort, asked, found):
    builders.student(cohort, name="Bo")
    builders.assistant(cohort, name="Cy")
    builders.person(school=administrator.school, name="Di", is_active=False)
    assert names(client, **asked) == found


def test_cohort_and_role_have_to_fit_together(client, administrator, cohort):
    other = builders.cohort(school=administrator.school)
    both = builders.student(cohort, name="Bo")
    builders.enrolment(cohort=other, person=both, role=Role.LEAD)
    assert names(client, cohort=cohort.pk, role="student") == ["Bo"]
    assert names(client, cohort=cohort.pk, role="lead") == []


def test_the_query_count_does_not_grow_with_people_nor_roles(
    client, administrator, cohort, connection_of_tests
):
    def queries() -> int:
        with CaptureQueriesContext(connection_of_tests) as caught:
            assert client.get(reverse("person-list")).status_code == 200
        return len(caught)

    builders.student(cohort)
    first = queries()
    for _ in range(20):
        builders.enrolment(cohort=cohort, person=builders.assistant(cohort), role=Role.STUDENT)
    assert queries() == first


def test_the_list_is_cut_into_pages_of_twenty_five(client, administrator):
    for _ in range(25):
        builders.person(school=administrator.school)
    assert len(names(client)) == 25
    assert len(names(client, page="2")) == 1


def test_a_search_that_finds_no_one_repeats_the_words(client, administrator):
    content = client.get(reverse("person-list"), {"q": "<b>"}).content.decode()
    assert "No one who fits has “&lt;b&gt;” in their name." in content


def test_the_query_count_of_a_person_does_not_grow(
    client, administrator, cohort, connection_of_tests
):
    person = builders.student(cohort)

    def queries() -> int:
        with CaptureQueriesContext(connection_of_tests) as caught:
            client.get(reverse("person-detail", args=[person.pk]))
        return len(caught)

    def grow() -> None:
        builders.approval(person=person)
        builders.enrolment(cohort=builders.cohort(school=person.school), person=person)
        person.hand_measurements.create(degrees=9.0, measured_by=builders.lead(cohort))

    grow()
    first = queries()
    for _ in range(5):
        grow()
    assert queries() == first


def test_what_someone_shares_for_emergencies_is_on_no_page_of_theirs(client, administrator, cohort):
    from coursework import services

    person = builders.student(cohort)
    services.share_contact(person, emergency=("Mo", "+41 79 123"), medical="Bee stings")
    client.force_login(builders.lead(cohort))
    for name in ("person-detail", "person-list"):
        args = [person.pk] if name == "person-detail" else []
        content = client.get(reverse(name, args=args)).content.decode()
        assert "Bee" not in content
        assert "+41 79" not in content


def test_a_name_is_changed(client, administrator, cohort):
    person = builders.student(cohort)
    fields = {"name": "New Name", "username": "new.name"}
    client.post(reverse("person-edit", args=[person.pk]), fields)
    person.refresh_from_db()
    assert (person.name, person.username) == ("New Name", "new.name")


def test_the_only_administrator_cannot_step_down(client, administrator):
    fields = {"name": "Ada", "username": administrator.username}
    page = client.post(reverse("person-edit", args=[administrator.pk]), fields)
    assert "the only administrator of the school" in page.content.decode()


def test_an_account_is_closed_and_reopened_after_asking(client, administrator, cohort):
    person = builders.student(cohort)
    for name, active in (("person-close", False), ("person-reopen", True)):
        address = reverse(name, args=[person.pk])
        client.get(address)
        person.refresh_from_db()
        assert person.is_active is not active
        client.post(address)
        person.refresh_from_db()
        assert person.is_active is active


def test_erasing_shows_what_goes_and_asks_for_the_sign_in_name(client, administrator, cohort):
    person = builders.student(cohort, username="bo")
    address = reverse("person-erase", args=[person.pk])
    assert "roles in cohorts: 1" in client.get(address).content.decode()
    page = client.post(address, {"username": "BO"})
    assert "This is not the sign-in name" in page.content.decode()
    assert Person.objects.filter(pk=person.pk).exists()
    client.post(address, {"username": "bo"})
    assert not Person.objects.filter(pk=person.pk).exists()


def test_one_downloads_ones_own_data_as_text_and_json(client, cohort):
    person = builders.student(cohort, name="Bo Ångström")
    client.force_login(person)
    response = client.get(reverse("person-export", args=[person.pk]))
    with zipfile.ZipFile(io.BytesIO(response.content)) as archive:
        assert sorted(archive.namelist()) == ["data.json", "data.txt"]
        assert "Bo Ångström" in archive.read("data.txt").decode()
        assert json.loads(archive.read("data.json"))["account"]["name"] == "Bo Ångström"


@pytest.mark.parametrize("role", ["student", "assistant"])
def test_those_who_arrange_nothing_have_no_people_in_their_menu(client, cohort, role):
    client.force_login(getattr(builders, role)(cohort))
    assert reverse("person-list") not in client.get(reverse("home")).content.decode()
