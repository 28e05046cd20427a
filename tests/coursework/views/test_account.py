"""Signing in and out, the own password, the own hand."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db
OLD, NEW = "grey-heron-12", "quick-otter-34"


@pytest.fixture
def person():
    return builders.person(username="ola", password=OLD)


def sign_in(client, password=OLD, **more):
    return client.post(reverse("sign-in"), {"username": "ola", "password": password} | more)


def test_name_and_password_lead_to_the_first_page(client, person):
    assert sign_in(client).url == reverse("home")


def test_signing_in_goes_on_to_the_page_asked_for(client, person):
    assert sign_in(client, next=reverse("site-list")).url == reverse("site-list")


def test_signing_in_does_not_go_on_to_another_site(client, person):
    assert sign_in(client, next="https://elsewhere.example/").url == reverse("home")


def test_a_wrong_password_is_answered_with_a_sentence(client, person):
    response = sign_in(client, password="wrong")
    assert "do not go together" in response.content.decode()
    assert "_auth_user_id" not in client.session


def test_a_closed_account_cannot_sign_in(client, person):
    person.is_active = False
    person.save()
    sign_in(client)
    assert "_auth_user_id" not in client.session


def test_signing_out_is_a_sent_form_and_not_a_link(client, person):
    client.force_login(person)
    assert client.get(reverse("sign-out")).status_code == 405
    assert client.post(reverse("sign-out")).url == reverse("sign-in")
    assert "_auth_user_id" not in client.session


def change(client, old=OLD, new=NEW, again=NEW):
    fields = {"old_password": old, "new_password1": new, "new_password2": again}
    return client.post(reverse("password-change"), fields)


def test_a_changed_password_keeps_one_signed_in(client, person):
    client.force_login(person)
    assert change(client).url == reverse("profile")
    person.refresh_from_db()
    assert person.check_password(NEW)
    assert client.get(reverse("home")).status_code == 200


@pytest.mark.parametrize(
    "typed",
    [{"old": "wrong"}, {"again": "different-one-5"}, {"new": "short", "again": "short"}],
)
def test_a_bad_new_password_changes_nothing(client, person, typed):
    client.force_login(person)
    assert "Nothing is saved yet" in change(client, **typed).content.decode()
    person.refresh_from_db()
    assert person.check_password(OLD)


def hand(client, degrees):
    return client.post(reverse("profile"), {"degrees_per_hand": degrees})


@pytest.mark.parametrize("degrees", ["2", "9.5", "30"])
def test_a_measured_hand_is_saved(client, person, degrees):
    client.force_login(person)
    assert hand(client, degrees).url == reverse("profile")
    person.refresh_from_db()
    assert person.degrees_per_hand == float(degrees)


@pytest.mark.parametrize("degrees", ["1.9", "30.1", "nan", "inf", "ten"])
def test_a_hand_out_of_range_is_refused(client, person, degrees):
    client.force_login(person)
    assert hand(client, degrees).status_code == 200
    person.refresh_from_db()
    assert person.degrees_per_hand is None


def test_a_hand_can_be_blanked_again(client, person):
    person.degrees_per_hand = 9.5
    person.save()
    client.force_login(person)
    hand(client, "")
    person.refresh_from_db()
    assert person.degrees_per_hand is None
