"""The embedded database and the shared cache are set up as the settings say."""

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import IntegrityError
from django.db.utils import ConnectionHandler

from coursework import environment


@pytest.fixture
def embedded(tmp_path, db):
    made = ConnectionHandler({"default": environment.database(None, folder=tmp_path)})["default"]
    yield made
    made.close()


@pytest.mark.parametrize(
    ("pragma", "value"),
    [("foreign_keys", 1), ("journal_mode", "wal"), ("busy_timeout", 20_000), ("synchronous", 1)],
)
def test_the_embedded_database_has_its_settings(embedded, pragma, value):
    with embedded.cursor() as cursor:
        cursor.execute(f"PRAGMA {pragma}")
        assert cursor.fetchone() == (value,)


def test_the_embedded_database_holds_what_rows_point_to(embedded):
    with embedded.cursor() as cursor:
        cursor.execute("CREATE TABLE a (id INTEGER PRIMARY KEY)")
        cursor.execute("CREATE TABLE b (a INTEGER REFERENCES a (id))")
        with pytest.raises(IntegrityError):
            cursor.execute("INSERT INTO b VALUES (1)")


def test_whoever_writes_takes_the_lock_at_once(embedded):
    assert embedded.settings_dict["OPTIONS"]["transaction_mode"] == "IMMEDIATE"


def test_without_an_address_each_process_has_a_cache_of_its_own():
    assert environment.cache(None)["BACKEND"].endswith("LocMemCache")


def test_an_address_of_redis_gives_a_shared_cache():
    found = environment.cache("redis://127.0.0.1:6379/0")
    assert found["BACKEND"] == "coursework.shared_cache.SharedCache"
    assert found["LOCATION"] == "redis://127.0.0.1:6379/0"


def test_any_other_kind_of_cache_stops_the_start():
    with pytest.raises(ImproperlyConfigured, match="'memcached'"):
        environment.cache("memcached://host")


@pytest.mark.parametrize("text", ["0", "-1", "two", "1.5", "1_0", "²"])
def test_a_number_that_is_none_or_too_small_stops_the_start(monkeypatch, text):
    monkeypatch.setenv("NUMBER", text)
    with pytest.raises(ImproperlyConfigured, match="whole number from 1"):
        environment.read_number("NUMBER", default=3, least=1)


@pytest.mark.parametrize(("text", "number"), [("1", 1), (" 12 ", 12), ("", 3)])
def test_a_number_is_read(monkeypatch, text, number):
    monkeypatch.setenv("NUMBER", text)
    assert environment.read_number("NUMBER", default=3, least=1) == number


def test_a_choice_is_read_in_any_case_and_another_word_stops_the_start(monkeypatch):
    monkeypatch.setenv("CHOICE", "JSON")
    assert environment.read_choice("CHOICE", default="text", choices=("json", "text")) == "json"
    monkeypatch.setenv("CHOICE", "xml")
    with pytest.raises(ImproperlyConfigured, match="one of json, text"):
        environment.read_choice("CHOICE", default="text", choices=("json", "text"))


@pytest.fixture(autouse=True)
def no_trace_in_the_reference(monkeypatch):
    monkeypatch.setattr(environment, "REFERENCE", {})
