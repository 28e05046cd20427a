"""What people are told when the server lacks something."""

import pytest
from django.db import OperationalError
from django.test import Client
from django.urls import reverse

from coursework import room
from tests import builders

FULL = OperationalError("database or disk is full")
BUSY = OperationalError("database is locked")
GONE = OperationalError('connection to server at "127.0.0.1" failed: refused')


def failing(monkeypatch, error):
    def fail(*args, **more):
        raise error

    monkeypatch.setattr("coursework.views.home.render", fail)
    client = Client(raise_request_exception=False)
    client.force_login(builders.student(builders.cohort()))
    return client


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("error", "to_reader", "to_sender"),
    [
        (FULL, "Its disk is full. What was", "Nothing that you sent with this was saved"),
        (BUSY, "Try again in a moment", "Nothing that you sent with this was saved"),
        (GONE, "Try again in a minute. If", "what you sent with this may not have been saved"),
    ],
)
def test_people_get_a_page_of_our_own_and_machines_a_number(
    monkeypatch, error, to_reader, to_sender
):
    client = failing(monkeypatch, error)
    for method, words in (("GET", to_reader), ("POST", to_sender)):
        response = client.generic(method, reverse("home"))
        assert (response.status_code, response["Retry-After"]) == (503, "30")
        page = response.content.decode()
        assert words in page
        assert "What was saved before is safe".lower() in page.lower()
        assert ("you sent with this" in page) is (method == "POST")
        assert "stay there and are sent" in page


@pytest.mark.django_db
def test_who_sent_a_form_is_told_where_what_was_typed_is_and_offered_no_empty_try(monkeypatch):
    client = failing(monkeypatch, FULL)
    asked, sent = (
        client.generic(method, reverse("home")).content.decode() for method in ("GET", "POST")
    )
    words = ["Try again<", "What you typed is still in the form"]
    assert [each in asked for each in words] == [True, False]
    assert [each in sent for each in words] == [False, True]


@pytest.mark.django_db
def test_a_device_that_sends_gets_the_sentence_as_data(monkeypatch):
    client = failing(monkeypatch, GONE)
    response = client.get(reverse("home"), headers={"accept": "application/json"})
    assert response.status_code == 503
    assert response.json()["sentence"].startswith("What was saved before is safe")


@pytest.mark.django_db
def test_a_fault_of_the_code_stays_a_fault_of_the_code(monkeypatch):
    response = failing(monkeypatch, KeyError("x")).get(reverse("home"))
    assert response.status_code == 500
    assert "The fault is ours" in response.content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize(("error", "is_noted"), [(FULL, True), (BUSY, False), (GONE, False)])
def test_only_a_refusal_for_want_of_room_is_noted_for_whoever_watches(
    monkeypatch, settings, tmp_path, error, is_noted
):
    settings.DATA_DIR = tmp_path
    failing(monkeypatch, error).get(reverse("home"))
    assert room.mark().exists() is is_noted
