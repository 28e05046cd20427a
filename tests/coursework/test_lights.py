"""The light of the pages: chosen without a script, kept on the device."""

import pytest
from django.urls import reverse

from coursework import lights

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def school():
    from tests import builders

    return builders.school()


def choose(client, light, **more):
    return client.post(reverse("choose-light"), {"light": light, **more})


def test_the_device_says_until_something_is_chosen(client):
    assert b"data-light" not in client.get(reverse("sign-in")).content


@pytest.mark.parametrize("light", ["bright", "dark", "red"])
def test_a_chosen_light_is_written_into_every_page_that_follows(client, light):
    answer = choose(client, light, next="/sign-in/?next=/drills/")
    assert answer.url == "/sign-in/?next=/drills/"
    page = client.get(reverse("sign-in")).content.decode()
    assert f'data-light="{light}"' in page
    assert f'value="{light}" aria-pressed="true"' in page


def test_the_device_says_again_when_asked_to(client):
    choose(client, "red")
    choose(client, "")
    assert b"data-light" not in client.get(reverse("sign-in")).content


def test_a_script_may_read_the_choice(client):
    # The field log opens without signal: there only a script can put the light on the page.
    assert not choose(client, "red").cookies[lights.COOKIE]["httponly"]


def test_a_light_that_there_is_not_is_refused(client):
    assert choose(client, "green").status_code == 400


def test_a_cookie_of_another_making_chooses_nothing(client):
    client.cookies[lights.COOKIE] = 'red" onload="x'
    assert b"data-light" not in client.get(reverse("sign-in")).content


@pytest.mark.parametrize("back", ["https://elsewhere.example/", "//elsewhere.example", "", "x:y"])
def test_nobody_is_sent_to_another_site(client, back):
    assert choose(client, "dark", next=back).url == reverse("home")
