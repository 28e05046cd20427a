"""Whether the site is well, told part by part."""

from collections import namedtuple
from datetime import UTC, datetime, timedelta

import pytest
from django.core.cache import cache
from django.db import OperationalError, connection
from django.db.migrations.recorder import MigrationRecorder
from django.urls import reverse
from django.utils import timezone
from django_tasks_db.models import DBTaskResult, get_date_max

from coursework import health
from tests import builders

Usage = namedtuple("Usage", "total used free")
pytestmark = pytest.mark.django_db
NINE = datetime(2026, 11, 27, 9, 0, tzinfo=UTC)


def asked(client):
    response = client.get(reverse("health"))
    return response.status_code, response.json()


def gone(*args, **more):
    raise OperationalError("could not connect to host db.school.example as user ylva")


def test_a_site_in_order_says_so_to_whoever_asks(client):
    status, said = asked(client)
    assert status == 200
    assert said == {"status": "ok", "parts": dict.fromkeys(health.PARTS, "ok")}


def test_the_answer_is_not_kept_on_the_way(client):
    assert "no-store" in client.get(reverse("health"))["Cache-Control"]


def test_nothing_can_be_sent_there(client):
    assert client.post(reverse("health")).status_code == 405


def test_a_database_that_is_gone_is_told_without_its_address(client, monkeypatch, caplog):
    monkeypatch.setattr(connection, "cursor", gone)
    status, said = asked(client)
    assert status == 503
    assert said["parts"]["database"] == "cannot be reached"
    assert "school.example" not in str(said)
    assert "database" in [getattr(one, "facts", {}).get("part") for one in caplog.records]


def test_a_cache_that_forgets_is_told(client, monkeypatch):
    monkeypatch.setattr(cache, "get", lambda *args, **more: None)
    assert asked(client)[1]["parts"]["cache"] == "does not keep what is put into it"


@pytest.mark.parametrize(("free_mb", "is_well"), [(200, True), (199, False)])
def test_the_room_that_is_left_is_measured_at_its_limit(client, monkeypatch, free_mb, is_well):
    usage = Usage(10**12, 0, free_mb * health.MEGABYTE)
    monkeypatch.setattr(health.shutil, "disk_usage", lambda path: usage)
    said = asked(client)[1]["parts"]["disk"]
    assert said == ("ok" if is_well else "199 MB free, 200 wanted")


def test_a_data_folder_that_cannot_be_written_to_is_told(client, settings, tmp_path, monkeypatch):
    def refuse(*args, **more):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(health.tempfile, "NamedTemporaryFile", refuse)
    assert asked(client)[1]["parts"]["disk"] == "the data folder cannot be written to"


def test_a_refusal_for_want_of_room_is_told_with_its_time(client, monkeypatch):
    when = datetime(2026, 11, 27, 9, 30, tzinfo=UTC)
    monkeypatch.setattr(health, "refused_at", lambda: when)
    status, said = asked(client)
    assert (status, said["parts"]["disk"]) == (503, "ok")
    assert said["parts"]["room"] == "none: something was not stored at 2026-11-27T09:30:00Z"


def task(**fields):
    """One that waits for a worker since 09:00; `run_after` where it was not to be done at once."""
    made = DBTaskResult.objects.create(
        **{"run_after": get_date_max(), "task_path": "x", "args_kwargs": {}} | fields
    )
    DBTaskResult.objects.filter(pk=made.pk).update(enqueued_at=NINE)


@pytest.mark.parametrize(
    ("due_at", "minute", "is_well"),
    [
        (None, 9, True),
        (None, 10, False),
        (timedelta(minutes=30), 39, True),
        (timedelta(minutes=30), 40, False),
        (timedelta(days=14), 40, True),
    ],
)
def test_tasks_that_nobody_does_are_told(client, monkeypatch, due_at, minute, is_well):
    task(**({} if due_at is None else {"run_after": NINE + due_at}))
    monkeypatch.setattr(timezone, "now", lambda: NINE + timedelta(minutes=minute))
    said = asked(client)[1]["parts"]["worker"]
    sentence = "tasks overdue by 10 minutes and more: 1; is manage.py db_worker running?"
    assert said == ("ok" if is_well else sentence)


def test_tasks_that_are_over_or_in_hand_count_as_done(client):
    for status in ("RUNNING", "FAILED", "SUCCESSFUL"):
        task(status=status)
    assert asked(client)[1]["parts"]["worker"] == "ok"


def test_migrations_that_were_not_run_are_counted(client):
    MigrationRecorder(connection).migration_qs.filter(app="assessments").last().delete()
    status, said = asked(client)
    assert (status, said["parts"]["migrations"]) == (503, "1 to run: manage.py migrate")


def test_nobodys_data_is_in_the_answer(client):
    builders.person(name="Ylva Stenmark", username="ylva.s")
    assert "lva" not in client.get(reverse("health")).content.decode()


def test_it_is_answered_over_plain_http_too(client, settings):
    settings.SECURE_SSL_REDIRECT = True
    assert asked(client)[0] == 200
    assert client.get(reverse("sign-in")).status_code == 301
