"""Invitations in the browser: made, shown with their code, taken back, followed."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from coursework.models import Invitation, Person, Role
from tests import builders

pytestmark = pytest.mark.django_db
NEW = {"name": "Aino", "username": "aino", "password": "wet-socks-99", "again": "wet-socks-99"}


@pytest.fixture
def cohort():
    return builders.cohort(name="June group")


@pytest.fixture
def lead(client, cohort):
    person = builders.lead(cohort)
    client.force_login(person)
    return person


def make(client, cohort, **more):
    asked = {"into": cohort.pk, "role": "student", "number": 1, "days": 7, "asked": uuid4()}
    return client.post(reverse("invitation-add"), asked | more)


def links_on(page) -> list[str]:
    return re.findall(r"http://testserver(/join/[a-z0-9]+/)", page.content.decode())


def test_the_page_shows_each_link_with_its_code_and_for_whom(client, cohort, lead):
    page = make(client, cohort, names="Aino\n\n  Teo  Marchetti \n")
    assert len(links_on(page)) == 2
    content = page.content.decode()
    assert content.count('class="qr-dark"') == 2
    assert "Teo Marchetti" in content
    assert "Student, June group" in content


def test_a_page_sent_twice_shows_the_same_link(client, cohort, lead):
    asked = uuid4()
    first, again = (links_on(make(client, cohort, asked=asked)) for _ in range(2))
    assert first == again
    assert Invitation.objects.count() == 1


def test_the_page_with_the_links_is_kept_by_no_browser(client, cohort, lead):
    assert "no-store" in make(client, cohort)["Cache-Control"]


@pytest.mark.parametrize(
    ("field", "bad"),
    [
        ("number", "0"),
        ("number", "41"),
        ("days", "0"),
        ("days", "91"),
        ("role", ""),
        ("role", "king"),
        ("into", "0"),
        ("names", "\n".join(f"P{i}" for i in range(41))),
        ("names", "P" * 121),
    ],
)
def test_what_cannot_be_asked_for_makes_no_link(client, cohort, lead, field, bad):
    page = make(client, cohort, **{field: bad})
    assert field in page.context["form"].errors
    assert not Invitation.objects.exists()


@pytest.mark.parametrize(("field", "most"), [("number", 40), ("days", 90)])
def test_the_most_that_can_be_asked_for_is_made(client, cohort, lead, field, most):
    page = make(client, cohort, **{field: most})
    assert len(links_on(page)) == (most if field == "number" else 1)


def test_a_lead_is_not_offered_the_school_nor_other_cohorts(client, cohort, lead):
    other = builders.cohort(school=lead.school)
    builders.enrolment(cohort=other, person=lead, role=Role.ASSISTANT)
    choices = dict(client.get(reverse("invitation-add")).context["form"].fields["into"].choices)
    assert set(choices) == {str(cohort.pk)}


def test_whoever_follows_a_link_joins_and_is_signed_in(client, cohort, lead):
    (link,) = links_on(make(client, cohort, names="Aino"))
    client.logout()
    page = client.get(link)
    assert page.context["form"].initial["name"] == "Aino"
    assert client.post(link, NEW).url == reverse("cohort-detail", args=[cohort.pk])
    assert client.get(reverse("profile")).context["user"].username == "aino"


def test_a_used_link_says_so(client, cohort, lead):
    (link,) = links_on(make(client, cohort))
    client.logout()
    client.post(link, NEW)
    client.logout()
    page = client.get(link)
    assert page.status_code == 410
    assert "This link has been used already." in page.content.decode()


def test_an_unknown_link_is_not_found(client, db):
    assert client.get("/join/abcdefghijkl/").status_code == 404


@pytest.mark.parametrize(
    ("field", "bad", "sentence"),
    [
        ("again", "other-socks-1", "not the same password"),
        ("password", "short", "too short"),
        ("username", "a b", "valid username"),
        ("username", "TAKEN", "already has this sign-in name"),
        ("name", "", "required"),
    ],
)
def test_a_bad_account_is_refused_at_the_field_and_the_link_stays_open(
    client, cohort, lead, field, bad, sentence
):
    builders.person(username="taken")
    (link,) = links_on(make(client, cohort))
    client.logout()
    page = client.post(link, NEW | {field: bad})
    assert any(sentence in error for error in page.context["form"].errors[field])
    assert Invitation.objects.open(timezone.now()).exists()


def test_whoever_is_signed_in_presses_once_and_has_the_role(client, cohort, lead):
    (link,) = links_on(make(client, cohort))
    person = builders.assistant(cohort)
    client.force_login(person)
    assert "You are signed in as" in client.get(link).content.decode()
    client.post(link)
    assert person.enrolments.filter(role=Role.STUDENT).exists()


def test_following_a_link_changes_nothing_before_the_button(client, cohort, lead):
    (link,) = links_on(make(client, cohort))
    person = builders.assistant(cohort)
    client.force_login(person)
    client.get(link)
    assert person.enrolments.count() == 1


def test_a_link_to_sign_in_lets_its_owner_choose_a_password(client, cohort, lead):
    student = builders.student(cohort)
    page = client.post(reverse("person-link", args=[student.pk]), {"asked": uuid4()})
    (link,) = links_on(page)
    client.logout()
    client.post(link, {"password": "wet-socks-99", "again": "wet-socks-99"})
    student.refresh_from_db()
    assert student.check_password("wet-socks-99")
    assert client.get(reverse("profile")).context["user"] == student


def test_a_link_is_taken_back_after_asking(client, cohort, lead):
    row = builders.invitation(cohort=cohort)
    address = reverse("invitation-revoke", args=[row.pk])
    client.get(address)
    assert Invitation.objects.open(timezone.now()).exists()
    client.post(address)
    assert not Invitation.objects.open(timezone.now()).exists()


def test_the_list_says_what_became_of_each(client, cohort, lead):
    now = timezone.now()
    builders.invitation(cohort=cohort, note="Open one")
    builders.invitation(cohort=cohort, note="Old one", expires_at=now - timedelta(days=1))
    builders.invitation(cohort=cohort, note="Lost one", revoked_at=now)
    builders.invitation(cohort=cohort, note="Used one", accepted_at=now, accepted_by=lead)
    page = client.get(reverse("invitation-list"))
    assert [link.note for link in page.context["open"]] == ["Open one"]
    for words in ("expired on", "taken back on", "used by"):
        assert words in page.content.decode()


def test_the_query_count_of_the_list_does_not_grow(
    client, cohort, lead, django_assert_max_num_queries
):
    for _ in range(15):
        builders.invitation(cohort=cohort)
        builders.invitation(cohort=cohort, revoked_at=timezone.now())
    with django_assert_max_num_queries(9):
        client.get(reverse("invitation-list"))


def test_no_one_joins_by_an_account_that_was_closed(client, cohort, lead):
    (link,) = links_on(make(client, cohort))
    Person.objects.filter(pk=lead.pk).update(is_active=False)
    client.logout()
    assert client.post(link, NEW).status_code == 410
