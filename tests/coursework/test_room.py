"""A refusal for want of room is remembered until the database gives room again."""

import errno

import pytest
from django.db import OperationalError

from coursework import room

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def folder(settings, tmp_path, monkeypatch):
    """A data folder without a mark, and a process that asked nothing yet."""
    settings.DATA_DIR = tmp_path
    monkeypatch.setattr(room, "_question", room.Question())
    return tmp_path


@pytest.fixture
def full(monkeypatch):
    """The database has no room; a list of the times it was asked."""
    asked = []

    def ask():
        asked.append(True)
        raise room.NoRoomError

    monkeypatch.setattr(room, "ask_for_room", ask)
    return asked


def test_while_nothing_was_refused_the_database_is_not_asked(full):
    assert room.refused_at() is None
    assert full == []


def test_a_refusal_stands_with_its_time_as_long_as_there_is_no_room(full):
    room.refused()
    first = room.refused_at()
    assert first.timestamp() == pytest.approx(room.mark().stat().st_mtime)
    room.mark().touch()
    assert room.refused_at() >= first


def test_the_database_is_asked_at_most_every_few_seconds(full, monkeypatch):
    after_s = [0.0, 1.0, room.ASK_AGAIN_S - 0.1, room.ASK_AGAIN_S]
    clock = iter(after_s)
    monkeypatch.setattr(room.time, "monotonic", lambda: 100.0 + next(clock))
    room.refused()
    times_asked = [bool(room.refused_at()) and len(full) for _ in after_s]
    assert times_asked == [1, 1, 1, 2]


def test_once_the_database_gives_room_the_refusal_is_forgotten(caplog):
    room.refused()
    assert room.refused_at() is None
    assert not room.mark().exists()
    assert "The database has room again." in caplog.messages


def test_asking_leaves_nothing_behind(folder):
    room.refused()
    room.refused_at()
    assert list(folder.iterdir()) == []


def test_a_folder_that_takes_not_even_the_mark_is_told_in_the_log(folder, settings, caplog):
    settings.DATA_DIR = folder / "gone"
    room.refused()
    assert caplog.messages == ["A refusal for want of room could not be noted."]


@pytest.mark.parametrize(
    ("fault", "raised"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), room.NoRoomError),
        (OperationalError("database or disk is full"), room.NoRoomError),
        (OperationalError("server closed the connection unexpectedly"), OperationalError),
        (PermissionError(errno.EACCES, "Permission denied"), PermissionError),
    ],
)
def test_only_want_of_room_is_told_as_that(monkeypatch, fault, raised):
    def fail(*_given):
        raise fault

    for way in ("_beside_the_file", "_in_a_table"):
        monkeypatch.setattr(room, way, fail)
    with pytest.raises(raised):
        room.ask_for_room()
