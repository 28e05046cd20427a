"""Lines of the log: JSON, and nobody's data in them."""

import json
import logging
import subprocess
import sys

import pytest
from django.conf import settings
from django.db import IntegrityError, OperationalError
from django.test import Client
from django.urls import reverse

from coursework.logs import JsonFormatter, logging_settings
from tests import builders

SECRETS = ["Ylva Stenmark", "ylva.s", "ylva@school.example", "198.51.100.7", "hush-hush-word"]


def line_of(message, *args, name="coursework.some", **more):
    factory = logging.getLogRecordFactory()
    info = more.pop("exc_info", None)
    record = factory(name, logging.WARNING, "some.py", 1, message, args, info)
    vars(record).update(more)
    return json.loads(JsonFormatter().format(record))


def raised(error):
    try:
        raise error
    except type(error):
        return sys.exc_info()


def test_a_line_says_when_how_grave_and_by_whom():
    line = line_of("Something was done.")
    assert (line["level"], line["logger"]) == ("WARNING", "coursework.some")
    assert line["time"].endswith("+00:00")
    assert line["message"] == "Something was done."


def test_numbers_in_a_message_are_written_and_texts_left_out():
    assert line_of("%d results of %s", 3, "Ylva Stenmark")["message"] == "3 results of …"


def test_texts_in_a_message_given_by_name_are_left_out_too():
    assert line_of("%(n)d of %(who)s", {"n": 2, "who": "Ylva"})["message"] == "2 of …"


def test_a_message_that_cannot_be_put_together_is_written_as_it_stands():
    assert line_of("%d results", "Ylva")["message"] == "%d results"


def test_a_task_is_written_with_its_name():
    line = line_of("Task id=%s done", "6f1c", name="django_tasks")
    assert line["message"] == "Task id=6f1c done"


def test_of_an_exception_the_kind_and_the_place_are_written_but_not_its_text():
    error = IntegrityError("Key (username)=(ylva.s) already exists.")
    line = line_of("A form met a conflict.", exc_info=raised(error))
    assert line["exception"]["kind"] == "django.db.utils.IntegrityError"
    assert line["exception"]["at"][-1].endswith(" raised")
    assert line["exception"]["at"][-1].startswith("tests/coursework/test_logs.py:")
    assert "ylva" not in json.dumps(line)


def test_what_caused_an_exception_is_written_the_same_way():
    error = ValueError("Ylva")
    error.__cause__ = KeyError("ylva.s")
    line = line_of("It failed.", exc_info=raised(error))
    assert line["exception"]["cause"]["kind"] == "builtins.KeyError"
    assert "ylva" not in json.dumps(line).lower()


@pytest.mark.parametrize(
    ("error", "lacks"),
    [
        (OperationalError("disk full: ylva.s"), "room"),
        (OperationalError("database is locked"), "time"),
        (OperationalError("connection refused"), "database"),
        (ValueError("Ylva"), None),
    ],
)
def test_what_the_server_lacked_is_said_in_a_word(error, lacks):
    assert line_of("It failed.", exc_info=raised(error)).get("lacks") == lacks


def test_a_request_that_failed_is_written_with_the_name_of_its_status_and_without_its_path():
    asked = ("Service Unavailable", "/join/hush-hush-word/")
    line = line_of("%s: %s", *asked, name="django.request", status_code=503)
    assert (line["message"], line["status"]) == ("Answered: Service Unavailable.", 503)


def test_what_somebody_sent_to_break_in_is_not_repeated():
    line = line_of("Invalid HTTP_HOST header: 'ylva'.", name="django.security.DisallowedHost")
    assert line["message"] == "Refused: DisallowedHost"


@pytest.fixture
def lines():
    """What is logged while a test runs, through the handler that a server has."""
    written = []

    class Keeping(logging.Handler):
        def emit(self, record):
            written.append(self.format(record))

    handler = Keeping(logging.INFO)
    handler.setFormatter(JsonFormatter())
    loggers = [logging.getLogger(name) for name in ("", "django", "coursework.requests")]
    levels = [logger.level for logger in loggers]
    for logger in loggers[:2]:
        logger.addHandler(handler)
    loggers[2].setLevel(logging.INFO)
    yield written
    for logger, level in zip(loggers, levels, strict=True):
        logger.removeHandler(handler)
        logger.setLevel(level)


@pytest.mark.django_db
def test_nobodys_data_reaches_the_log_by_any_of_these_ways(lines, monkeypatch):
    cohort = builders.cohort()
    person = builders.lead(
        cohort, name=SECRETS[0], username=SECRETS[1], email=SECRETS[2], password=SECRETS[4]
    )
    client = Client(raise_request_exception=False, REMOTE_ADDR=SECRETS[3])
    client.post(reverse("sign-in"), {"username": SECRETS[1], "password": SECRETS[4]})
    client.post(reverse("sign-in"), {"username": SECRETS[1], "password": "wrong"})
    client.force_login(person)
    client.get(reverse("person-list"), {"q": SECRETS[0]})
    client.get(f"/nowhere/{SECRETS[1]}/")
    client.get(reverse("join", args=["hush-hush-word"]))
    client.get("/", headers={"host": SECRETS[1]})
    Client(enforce_csrf_checks=True).post(reverse("sign-in"), {"username": SECRETS[1]})

    def fail(*args, **more):
        raise ValueError(f"{SECRETS[0]} {SECRETS[2]}")

    monkeypatch.setattr("coursework.views.home.render", fail)
    assert client.get(reverse("home")).status_code == 500
    said = "\n".join(lines)
    statuses = {json.loads(line).get("status") for line in lines}
    assert statuses >= {200, 302, 400, 403, 404, 500}
    assert [secret for secret in SECRETS if secret in said] == []


@pytest.mark.django_db
def test_each_request_gets_one_line_with_the_name_of_its_address(lines, client):
    client.get(reverse("sign-in"))
    (line,) = [json.loads(each) for each in lines if "coursework.requests" in each]
    assert (line["method"], line["address"]) == ("GET", "sign-in")
    assert line["ms"] > 0


def test_on_ones_own_machine_messages_can_be_had_in_full():
    assert logging_settings(form="text", level="info")["handlers"]["stderr"]["formatter"] == "text"


def test_a_server_writes_json_unless_told_otherwise(tmp_path):
    code = "import logging, django; django.setup(); logging.getLogger('django').error('Oh.')"
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=settings.BASE_DIR,
        env={"PLUMBSHADOW_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "coursework.settings"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert json.loads(done.stderr)["message"] == "Oh."
