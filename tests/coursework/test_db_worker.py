"""What the worker of background tasks makes of a fault: wait, say so, or end."""

import pytest
from django.core.management import get_commands, load_command_class
from django.db import OperationalError
from django_tasks_db.management.commands import db_worker as package

from coursework import room
from coursework.management.commands import db_worker

pytestmark = pytest.mark.django_db
FULL = OperationalError("could not extend file: No space left on device")
BUSY = OperationalError("database is locked")
GONE = OperationalError("server closed the connection unexpectedly")
WRONG = OperationalError("no such table: coursework_person")


@pytest.fixture(autouse=True)
def quick(monkeypatch, settings, tmp_path):
    """Nobody waits, no handler of a signal is set, and the tests' connection stays."""
    settings.DATA_DIR = tmp_path
    monkeypatch.setattr(db_worker.time, "sleep", lambda _s: None)
    monkeypatch.setattr(db_worker.signal, "signal", lambda *_given: None)
    monkeypatch.setattr(db_worker.connections, "close_all", lambda: None)


@pytest.fixture
def worked(monkeypatch):
    """Lets the package's worker meet these faults one after the other, and then end as asked."""

    def meet(*faults, **options) -> int:
        left, begun = list(faults), []

        def handle(_self, **_options):
            begun.append(True)
            if left:
                raise left.pop(0)

        monkeypatch.setattr(package.Command, "handle", handle)
        command = load_command_class(get_commands()["db_worker"], "db_worker")
        command.handle(**{"batch": False, "reload": False} | options)
        return len(begun)

    return meet


def test_the_sites_own_worker_is_the_one_that_is_run(worked):
    # Only that one goes on after a fault.
    assert worked(GONE) == 2


def test_each_trouble_is_said_once_a_minute_and_its_end_where_it_is_sure(worked, caplog):
    assert worked(GONE, GONE, FULL, FULL, BUSY) == 6
    gone, full, busy = (
        db_worker.SENTENCES[want] for want in (db_worker.Want.DATABASE, db_worker.Want.ROOM,
        db_worker.Want.TIME)
    )  # fmt: skip
    back = "The database answers again: the worker goes on."
    assert caplog.messages == [gone, back, gone, back, full, busy]


def test_want_of_room_is_noted_for_whoever_watches(worked):
    worked(GONE)
    assert not room.mark().exists()
    worked(FULL)
    assert room.mark().exists()


def test_a_fault_of_the_code_or_of_the_tables_ends_it(worked):
    with pytest.raises(OperationalError, match="no such table"):
        worked(WRONG)
    with pytest.raises(KeyError):
        worked(KeyError("x"))


def test_whoever_runs_it_once_by_hand_is_told_at_once(worked):
    with pytest.raises(OperationalError, match="closed the connection"):
        worked(GONE, batch=True)


def test_on_tables_of_another_version_it_does_not_begin(worked, monkeypatch):
    monkeypatch.setattr(db_worker, "fault_of_tables", lambda: "1 to run: manage.py migrate")
    with pytest.raises(db_worker.CommandError, match="1 to run"):
        worked()
