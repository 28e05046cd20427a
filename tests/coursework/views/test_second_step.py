"""The second step at sign-in: a code of the moment (RFC 6238), or a spare code."""

from urllib.parse import parse_qs, urlsplit

import pytest
from django.urls import reverse
from django_otp.oath import TOTP, totp
from django_otp.plugins.otp_static.models import StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from coursework.services import second_step
from coursework.views.second_step import WAITS_S
from tests import builders

pytestmark = pytest.mark.django_db
PASSWORD = "grey-heron-12"


@pytest.fixture
def person():
    return builders.person(username="ola", password=PASSWORD)


def code_of(device: TOTPDevice, steps: int = 0) -> str:
    """The code that the person's device shows, `steps` half minutes from now."""
    return f"{totp(device.bin_key, step=device.step, t0=device.t0 - steps * device.step):06d}"


def switch_on(person) -> list[str]:
    device = second_step.begin_second_step(person)
    codes = second_step.start_second_step(person, code_of(device))
    # The code that switched it on has been used; that of now counts again.
    TOTPDevice.objects.update(last_t=-1)
    return codes


def give_password(client, **more):
    sent = {"username": "ola", "password": PASSWORD} | more
    return client.post(reverse("sign-in"), sent)


def give_code(client, code, **more):
    return client.post(reverse("sign-in-code"), {"code": code} | more)


def signed_in(client) -> bool:
    return "_auth_user_id" in client.session


def test_codes_are_those_of_rfc_6238():
    # RFC 6238, appendix B: SHA-1, the key '12345678901234567890', 59 s after the epoch: 94287082,
    # of which six digits are the last six; from memory. https://www.rfc-editor.org/rfc/rfc6238
    moment = TOTP(TOTPDevice(key=b"12345678901234567890".hex()).bin_key)
    moment.time = 59
    assert moment.token() == 287082


def test_without_it_the_password_alone_signs_in(client, person):
    assert give_password(client).url == reverse("home")
    assert signed_in(client)


def test_with_it_the_password_alone_does_not_sign_in(client, person):
    switch_on(person)
    assert give_password(client).url.startswith(reverse("sign-in-code"))
    assert not signed_in(client)
    assert client.get(reverse("profile")).status_code == 302


def test_the_code_of_the_moment_signs_in_and_goes_on_to_the_page_asked_for(client, person):
    switch_on(person)
    address = give_password(client, next=reverse("site-list")).url
    wanted = parse_qs(urlsplit(address).query)["next"][0]
    answer = give_code(client, code_of(TOTPDevice.objects.get()), next=wanted)
    assert answer.url == reverse("site-list")
    assert signed_in(client)


def test_it_does_not_go_on_to_another_site(client, person):
    switch_on(person)
    give_password(client)
    answer = give_code(client, code_of(TOTPDevice.objects.get()), next="https://elsewhere.example/")
    assert answer.url == reverse("home")


@pytest.mark.parametrize("code", ["000000", "", "٣٤٥", "x" * 21])
def test_another_code_is_answered_with_a_sentence(client, person, code):
    switch_on(person)
    give_password(client)
    answer = give_code(client, code)
    assert answer.status_code == 200
    assert 'class="invalid-feedback"' in answer.content.decode()
    assert not signed_in(client)


def test_a_code_counts_once(client, person):
    switch_on(person)
    code = code_of(TOTPDevice.objects.get())
    give_password(client)
    give_code(client, code)
    client.post(reverse("sign-out"))
    give_password(client)
    give_code(client, code)
    assert not signed_in(client)


def test_after_a_wrong_code_the_right_one_has_to_wait(client, person):
    switch_on(person)
    give_password(client)
    give_code(client, "000000")
    give_code(client, code_of(TOTPDevice.objects.get()))
    assert not signed_in(client)


def test_a_spare_code_signs_in_once_however_it_is_typed(client, person):
    spare = switch_on(person)[0]
    typed = f" {spare[:4].upper()} {spare[4:]}"
    give_password(client)
    give_code(client, typed)
    assert signed_in(client)
    client.post(reverse("sign-out"))
    TOTPDevice.objects.update(throttling_failure_count=0)
    give_password(client)
    give_code(client, typed)
    assert not signed_in(client)


def test_whoever_waits_too_long_starts_again(client, person):
    switch_on(person)
    give_password(client)
    session = client.session
    session["waiting for the second step"] |= {"at": 0.0}
    session.save()
    answer = give_code(client, code_of(TOTPDevice.objects.get()))
    assert answer.url == reverse("sign-in")
    assert WAITS_S == 300


def test_an_account_closed_meanwhile_does_not_get_in(client, person):
    switch_on(person)
    give_password(client)
    person.is_active = False
    person.save()
    give_code(client, code_of(TOTPDevice.objects.get()))
    assert not signed_in(client)


def test_the_code_page_without_a_password_leads_to_sign_in(client, db):
    assert client.get(reverse("sign-in-code")).url == reverse("sign-in")


def test_it_is_switched_on_with_a_first_code_and_the_spare_codes_are_shown_once(client, person):
    client.force_login(person)
    client.get(reverse("second-step"))
    answer = client.post(
        reverse("second-step"), {"code": code_of(TOTPDevice.objects.get(user=person))}
    )
    shown = StaticToken.objects.filter(device__user=person).values_list("token", flat=True)
    assert len(shown) == second_step.SPARE_CODES
    assert all(code in answer.content.decode() for code in shown)
    again = client.get(reverse("second-step")).content.decode()
    assert "8 spare codes left" in again
    assert not any(code in again for code in shown)


def test_reloading_the_page_keeps_the_key_that_the_device_has_read(client, person):
    client.force_login(person)
    first = client.get(reverse("second-step")).context["key"]
    assert client.get(reverse("second-step")).context["key"] == first


def test_a_wrong_first_code_switches_nothing_on(client, person):
    client.force_login(person)
    client.get(reverse("second-step"))
    answer = client.post(reverse("second-step"), {"code": "123"})
    assert "Is the clock of your device right?" in answer.content.decode()
    assert not second_step.asks_for_code(person)


@pytest.mark.parametrize("name", ["second-step-stop", "second-step-codes"])
def test_a_wrong_password_changes_nothing(client, person, name):
    codes = switch_on(person)
    client.force_login(person)
    answer = client.post(reverse(name), {"password": "wrong"})
    assert "That is not your password." in answer.content.decode()
    assert second_step.asks_for_code(person)
    assert StaticToken.objects.filter(token=codes[0]).exists()


def test_new_spare_codes_take_the_place_of_the_old(client, person):
    old = switch_on(person)
    client.force_login(person)
    client.post(reverse("second-step-codes"), {"password": PASSWORD})
    assert not StaticToken.objects.filter(token__in=old).exists()
    assert second_step.spare_codes_left(person) == second_step.SPARE_CODES


def test_switched_off_the_password_alone_signs_in_again(client, person):
    switch_on(person)
    client.force_login(person)
    client.post(reverse("second-step-stop"), {"password": PASSWORD})
    client.logout()
    give_password(client)
    assert signed_in(client)


def test_an_administrator_switches_it_off_for_someone_who_lost_the_device(client, person):
    switch_on(person)
    client.force_login(builders.administrator(school=person.school))
    client.post(reverse("person-second-step", args=[person.pk]))
    assert not second_step.asks_for_code(person)


def test_the_maintenance_door_has_no_way_in_of_its_own(client, person):
    person.is_staff = person.is_superuser = True
    person.save()
    switch_on(person)
    answer = client.post("/maintenance/login/", {"username": "ola", "password": PASSWORD})
    assert answer.url.startswith(reverse("sign-in"))
    assert not signed_in(client)
