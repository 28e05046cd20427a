"""Signing in and out, the own password, the own hand."""

import pytest
from django.urls import reverse

from coursework.models import Contact
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


def test_breadth_and_reach_of_a_hand_make_its_degrees(client, person):
    client.force_login(person)
    client.post(reverse("profile"), {"breadth_cm": "10", "reach_cm": "60"})
    person.refresh_from_db()
    assert person.degrees_per_hand == pytest.approx(9.53, abs=0.005)


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"breadth_cm": "10"}, "reach_cm"),
        ({"reach_cm": "60"}, "breadth_cm"),
        ({"breadth_cm": "2.9", "reach_cm": "60"}, "breadth_cm"),
        ({"breadth_cm": "10", "reach_cm": "121"}, "reach_cm"),
        ({"breadth_cm": "20", "reach_cm": "20"}, "breadth_cm"),
        ({"breadth_cm": "10", "reach_cm": "60", "degrees_per_hand": "9.5"}, "degrees_per_hand"),
    ],
)
def test_a_hand_that_is_not_whole_or_not_one_is_refused(client, person, typed, field):
    client.force_login(person)
    page = client.post(reverse("profile"), typed)
    assert field in page.context["form"].errors
    assert not person.hand_measurements.exists()


CONTACT = {"emergency_name": "Mo", "emergency_phone": "+41 79 000", "emergency_agreed": "on"}
NOTE = {"medical_note": "Bee stings", "medical_agreed": "on"}


def share(client, **fields):
    return client.post(reverse("profile-contact"), fields)


def test_what_is_shared_for_an_emergency_stands_on_ones_own_page(client, person):
    client.force_login(person)
    assert share(client, **CONTACT, **NOTE).url == reverse("profile")
    content = client.get(reverse("profile")).content.decode()
    assert "Mo, +41 79 000 (shared since" in content
    assert "Bee stings" in content


@pytest.mark.parametrize(
    ("fields", "field"),
    [
        ({"emergency_name": "Mo", "emergency_phone": "+41 79 000"}, "emergency_agreed"),
        ({"medical_note": "Bee stings"}, "medical_agreed"),
        ({"emergency_agreed": "on"}, "emergency_phone"),
        (CONTACT | {"emergency_phone": "call me"}, "emergency_phone"),
        (NOTE | {"medical_note": "x" * 1001}, "medical_note"),
    ],
)
def test_nothing_is_kept_without_agreement_nor_by_halves(client, person, fields, field):
    client.force_login(person)
    assert field in share(client, **fields).context["form"].errors
    assert not Contact.objects.exists()


def test_unticking_takes_back_and_deletes(client, person):
    client.force_login(person)
    share(client, **CONTACT, **NOTE)
    share(client, **CONTACT, medical_note="Bee stings")
    contact = Contact.objects.get()
    assert contact.medical_note == ""
    assert contact.shared_emergency == ("Mo", "+41 79 000")
