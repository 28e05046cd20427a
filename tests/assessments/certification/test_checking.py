"""The public page: state by the number, the name with the family name, nothing to try out."""

from datetime import UTC, datetime

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from assessments.certification import checking
from assessments.certification.issuing import withdraw_packet
from assessments.models import Packet
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 1, 1, tzinfo=UTC)


@pytest.fixture(autouse=True)
def fresh_count():
    cache.clear()


def ask(number: str, family_name: str = "", **how) -> str:
    response = Client(**how).post(
        reverse("certificate-check"), {"number": number, "family_name": family_name}
    )
    return response.content.decode()


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("Świerczyńska", True),
        ("swierczynska", True),
        ("  SWIERCZYŃSKA ", True),
        ("", False),
        ("Zofia", False),
        ("Świerczyńsk", False),
    ],
)
def test_the_name_is_shown_to_whoever_gives_the_family_name(name, shown):
    packet = made.issued(made.world())
    assert ("Zofia" in ask(packet.number, name).replace('value="Zofia"', "")) is shown


@pytest.mark.parametrize("number", ["{0}", "{0}-{1}", "{0} {1}", "lower"])
def test_the_number_is_read_however_it_is_written(number):
    packet = made.issued(made.world())
    first, second = packet.number[:5], packet.number[5:]
    written = packet.number.lower() if number == "lower" else number.format(first, second)
    if number == "{0}":
        written = packet.number
    assert "Valid" in ask(written)


def test_an_unknown_number_and_a_wrong_name_get_the_same_answer():
    packet = made.issued(made.world())
    answer = checking.look_up
    assert answer("2222222222", "Nowak", now=NOW) is None
    assert answer(packet.number, "Nowak", now=NOW) is None
    assert answer("2222222222", "", now=NOW) is None


def test_the_same_work_is_done_for_known_and_unknown_numbers(django_assert_num_queries):
    packet = made.issued(made.world())
    for number in (packet.number, "2222222222"):
        for name in ("", "Nowak", packet.family_name):
            with django_assert_num_queries(2):
                checking.look_up(number, name, now=NOW)


@pytest.mark.parametrize(
    ("now", "state"),
    [
        (datetime(2028, 6, 24, 23, 59, tzinfo=UTC), Packet.State.VALID),
        (datetime(2028, 6, 25, 0, 0, tzinfo=UTC), Packet.State.EXPIRED),
    ],
)
def test_the_last_day_is_that_of_the_schools_clock(now, state):
    packet = made.issued(made.world())
    assert checking.look_up(packet.number, "", now=now).state == state


def test_a_withdrawn_one_is_said_to_be_and_not_why():
    world = made.world()
    packet = made.issued(world)
    withdraw_packet(world.lead, packet, "Copied the log.")
    page = ask(packet.number)
    assert "Withdrawn" in page
    assert "Copied" not in page


def test_the_address_of_the_code_says_the_state_and_no_name():
    packet = made.issued(made.world())
    page = Client().get(reverse("certificate-check-number", args=[packet.number])).content.decode()
    assert "Valid" in page
    assert "Zofia" not in page


@pytest.mark.parametrize(("tries", "status"), [(checking.TRIES, 200), (checking.TRIES + 1, 429)])
def test_one_address_asks_so_often_and_no_more(tries, status):
    client = Client()
    for _try in range(tries):
        response = client.get(reverse("certificate-check-number", args=["2222222222"]))
    assert response.status_code == status
    assert ("Retry-After" in response) is (status == 429)


def test_another_address_is_still_answered():
    for _try in range(checking.TRIES + 1):
        assert Client().get("/check/2222222222").status_code in {200, 429}
    assert Client(REMOTE_ADDR="10.1.2.3").get("/check/2222222222").status_code == 200


def test_all_together_ask_so_often_and_no_more():
    answers = [checking.is_too_often(f"10.0.0.{n}") for n in range(checking.ALL_TRIES + 1)]
    assert answers.count(True) == 1
    assert answers[-1] is True


def test_looking_at_the_empty_page_is_no_try():
    for _try in range(checking.TRIES + 5):
        assert Client().get(reverse("certificate-check")).status_code == 200


def test_a_missing_number_is_asked_for():
    assert "This field is required" in ask("")
