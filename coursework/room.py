"""Whether the database takes more: it is asked only after it refused something for want of room.

Before that nobody can say from outside how much room a database server has left, and asking each
time would write each time. So a refusal leaves a mark in the data folder, which all processes of a
site share and which outlives them; while it is there `/healthz` asks the database for room, and
the mark goes with the first time that it is given.
"""

import logging
import os
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings
from django.db import DatabaseError, connection, transaction

from coursework.wants import Want, want_of

logger = logging.getLogger(__name__)
ASKED_BYTES = 2_000_000
"""More than a few results need: what is left of a disk in crumbs is no room."""
ASK_AGAIN_S = 5.0
"""So long an answer of the database counts, in one process: anyone may open `/healthz`."""


class NoRoomError(Exception):
    """The database has no room for `ASKED_BYTES`."""


def mark() -> Path:
    """Its time is that of the last refusal."""
    return Path(settings.DATA_DIR) / "room-wanted"


def refused() -> None:
    """Remember that something was not stored for want of room."""
    try:
        mark().touch()
    except OSError:
        # The data folder has no room either, which its own part of /healthz says.
        logger.warning("A refusal for want of room could not be noted.", exc_info=True)


class Question:
    """What this process was told last, and when."""

    def __init__(self):
        self._asked_at: float | None = None

    def has_room(self) -> bool:
        """The database's answer, at most one in `ASK_AGAIN_S`; meanwhile there is none."""
        now = time.monotonic()
        if self._asked_at is not None and now < self._asked_at + ASK_AGAIN_S:
            return False
        self._asked_at = now
        try:
            ask_for_room()
        except NoRoomError:
            return False
        self._asked_at = None
        return True


_question = Question()


def refused_at() -> datetime | None:
    """When something was last refused for want of room, where there is none since; else None.

    DatabaseError where the database does not answer, OSError where a folder cannot be written to.
    """
    try:
        last = datetime.fromtimestamp(mark().stat().st_mtime, UTC)
    except FileNotFoundError:
        return None
    if not _question.has_room():
        return last
    # A refusal of this very moment would be forgotten with it; the next one is noted anew.
    mark().unlink(missing_ok=True)
    logger.warning("The database has room again.")
    return None


def ask_for_room() -> None:
    """Have `ASKED_BYTES` added to where the database lies, and taken away again.

    Raises NoRoomError where that is refused for want of room.
    """
    try:
        if connection.vendor == "sqlite":
            _beside_the_file(Path(connection.settings_dict["NAME"]).parent)
        else:
            _in_a_table()
    except (DatabaseError, OSError) as fault:
        if want_of(fault) is Want.ROOM:
            raise NoRoomError from fault
        raise


def _beside_the_file(folder: Path) -> None:
    with tempfile.NamedTemporaryFile(dir=folder, prefix=".room-") as file:
        file.write(bytes(ASKED_BYTES))
        file.flush()
        os.fsync(file.fileno())


def _in_a_table() -> None:
    """One that nobody else sees, that is not in the log, and that is gone with the transaction."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(
            "CREATE TEMPORARY TABLE room_asked_for ON COMMIT DROP AS"
            " SELECT repeat('x', 1000) AS filling FROM generate_series(1, %s)",
            [ASKED_BYTES // 1000],
        )
        transaction.set_rollback(True)
