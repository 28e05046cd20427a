"""Many wrong passwords close sign-in for that name from that address, and for nobody else."""

import re
from datetime import timedelta

import pytest
from axes.models import AccessAttempt
from django.conf import settings
from django.test import RequestFactory
from django.urls import reverse
from django.utils import timezone

from coursework import services
from coursework.lockout import sender_of
from tests import builders

pytestmark = pytest.mark.django_db
RIGHT = "grey-heron-12"
HERE, THERE = "198.51.100.7", "203.0.113.9"


@pytest.fixture
def person():
    return builders.person(username="ola", password=RIGHT)


def sign_in(client, password="wrong", username="ola", address=HERE):
    sent = {"username": username, "password": password}
    return client.post(reverse("sign-in"), sent, REMOTE_ADDR=address)


def fail(client, times, **more):
    for _number in range(times):
        answer = sign_in(client, **more)
    return answer


def words_of(answer) -> str:
    """The page without its token, which no two pages share."""
    return re.sub(r"[A-Za-z0-9]{64}", "", answer.content.decode())


def test_one_wrong_password_less_than_the_limit_closes_nothing(client, person):
    fail(client, settings.AXES_FAILURE_LIMIT - 1)
    assert sign_in(client, RIGHT).url == reverse("home")


def test_at_the_limit_even_the_right_password_is_answered_with_the_wait(client, person):
    assert fail(client, settings.AXES_FAILURE_LIMIT).status_code == 429
    answer = sign_in(client, RIGHT)
    assert answer.status_code == 429
    assert answer["Retry-After"] == "900"
    assert "closed for 15 minutes" in answer.content.decode()


def test_a_name_that_nobody_has_is_answered_alike(client, person):
    known = fail(client, settings.AXES_FAILURE_LIMIT)
    unknown = fail(client, settings.AXES_FAILURE_LIMIT, username="nobody-at-all")
    assert known.status_code == unknown.status_code == 429
    assert words_of(known) == words_of(unknown)


def test_others_behind_the_same_address_still_sign_in(client, person):
    builders.person(username="aino", password=RIGHT)
    fail(client, settings.AXES_FAILURE_LIMIT)
    assert sign_in(client, RIGHT, username="aino").url == reverse("home")


def test_the_person_still_signs_in_from_another_address(client, person):
    fail(client, settings.AXES_FAILURE_LIMIT)
    assert sign_in(client, RIGHT, address=THERE).url == reverse("home")


def test_after_the_wait_it_is_open_again(client, person):
    fail(client, settings.AXES_FAILURE_LIMIT)
    past = timezone.now() - settings.AXES_COOLOFF_TIME - timedelta(seconds=1)
    AccessAttempt.objects.update(attempt_time=past)
    assert sign_in(client, RIGHT).url == reverse("home")


def test_a_right_password_forgets_the_wrong_ones(client, person):
    fail(client, settings.AXES_FAILURE_LIMIT - 1)
    sign_in(client, RIGHT)
    client.post(reverse("sign-out"))
    fail(client, settings.AXES_FAILURE_LIMIT - 1)
    assert sign_in(client, RIGHT).url == reverse("home")


def test_a_new_password_from_an_administrator_opens_it_at_once(client, person):
    administrator = builders.administrator(school=person.school)
    fail(client, settings.AXES_FAILURE_LIMIT)
    services.set_password(administrator, person, "quick-otter-34")
    assert sign_in(client, "quick-otter-34").url == reverse("home")


def test_the_password_that_was_tried_is_not_kept(client, person):
    sign_in(client, password="my-bank-password")
    assert "my-bank-password" not in str(list(AccessAttempt.objects.values()))


def test_erasing_a_person_forgets_their_wrong_passwords(client, person):
    administrator = builders.administrator(school=person.school)
    sign_in(client)
    services.erase_person(administrator, person)
    assert not AccessAttempt.objects.exists()


def test_the_address_is_the_last_that_a_trusted_proxy_added(settings):
    request = RequestFactory().get("/", REMOTE_ADDR=HERE, HTTP_X_FORWARDED_FOR=f"{HERE}, {THERE}")
    settings.SECURE_PROXY_SSL_HEADER = ("HTTP_X_FORWARDED_PROTO", "https")
    assert sender_of(request) == THERE


def test_what_a_sender_says_of_its_own_address_counts_for_nothing_without_a_proxy(settings):
    settings.SECURE_PROXY_SSL_HEADER = None
    request = RequestFactory().get("/", REMOTE_ADDR=HERE, HTTP_X_FORWARDED_FOR=THERE)
    assert sender_of(request) == HERE
