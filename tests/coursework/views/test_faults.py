"""What people are told when the server lacks something."""

import errno

import pytest
from django.db import IntegrityError, InterfaceError, InternalError, OperationalError
from django.test import Client
from django.urls import reverse

from coursework.views.faults import Want, want_of
from tests import builders


class StateError(Exception):
    """What a driver raises, as far as it matters here."""

    def __init__(self, sqlstate: str):
        self.sqlstate = sqlstate


def said_by_postgresql(state: str, text: str, kind=OperationalError) -> Exception:
    error = kind(text)
    error.__cause__ = StateError(state)
    return error


FAULTS = [
    (OperationalError("database or disk is full"), Want.ROOM),
    (OperationalError('could not extend file "base/1": No space left on device'), Want.ROOM),
    (OSError(errno.ENOSPC, "No space left on device"), Want.ROOM),
    (OperationalError("database is locked"), Want.TIME),
    (OperationalError("deadlock detected"), Want.TIME),
    (OperationalError('connection to server at "127.0.0.1" failed: refused'), Want.DATABASE),
    (OperationalError("unable to open database file"), Want.DATABASE),
    (InterfaceError("connection already closed"), Want.DATABASE),
    (said_by_postgresql("53100", "konnte Datei nicht erweitern: kein Platz"), Want.ROOM),
    (said_by_postgresql("57014", "annulation de la requête"), Want.TIME),
    (said_by_postgresql("25006", "in einer Read-Only-Transaktion", InternalError), Want.DATABASE),
    (
        said_by_postgresql("XX000", "could not extend file: File too large", InternalError),
        Want.ROOM,
    ),
    (said_by_postgresql("XX000", "cache lookup failed for type 26", InternalError), None),
    (said_by_postgresql("23505", "double", IntegrityError), None),
    (OperationalError("no such table: coursework_person"), None),
    (OSError(errno.ENOENT, "No such file"), None),
    (ValueError("database is locked"), None),
    (None, None),
]


@pytest.mark.parametrize(("error", "want"), FAULTS)
def test_what_the_server_lacks_is_told_from_the_fault(error, want):
    assert want_of(error) is want


def failing(monkeypatch, error):
    def fail(*args, **more):
        raise error

    monkeypatch.setattr("coursework.views.home.render", fail)
    client = Client(raise_request_exception=False)
    client.force_login(builders.student(builders.cohort()))
    return client


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("error", "words"),
    [
        (FAULTS[0][0], "Nothing that you sent with this was saved"),
        (FAULTS[3][0], "Try again in a moment"),
        (FAULTS[5][0], "The server cannot reach its records"),
    ],
)
def test_people_get_a_page_of_our_own_and_machines_a_number(monkeypatch, error, words):
    response = failing(monkeypatch, error).get(reverse("home"))
    assert (response.status_code, response["Retry-After"]) == (503, "30")
    assert words in response.content.decode()
    assert "stay there and are sent" in response.content.decode()


@pytest.mark.django_db
def test_who_sent_a_form_is_told_where_what_was_typed_is_and_offered_no_empty_try(monkeypatch):
    client = failing(monkeypatch, FAULTS[0][0])
    asked, sent = (
        client.generic(method, reverse("home")).content.decode() for method in ("GET", "POST")
    )
    words = ["Try again<", "What you typed is still in the form"]
    assert [each in asked for each in words] == [True, False]
    assert [each in sent for each in words] == [False, True]


@pytest.mark.django_db
def test_a_device_that_sends_gets_the_sentence_as_data(monkeypatch):
    client = failing(monkeypatch, FAULTS[5][0])
    response = client.get(reverse("home"), headers={"accept": "application/json"})
    assert response.status_code == 503
    assert response.json()["sentence"].startswith("What was saved before is safe")


@pytest.mark.django_db
def test_a_fault_of_the_code_stays_a_fault_of_the_code(monkeypatch):
    response = failing(monkeypatch, KeyError("x")).get(reverse("home"))
    assert response.status_code == 500
    assert "The fault is ours" in response.content.decode()
