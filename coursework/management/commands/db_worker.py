"""The worker of background tasks: the package's own, with patience for a database that is away."""

import logging
import signal
import sys
import time

from django.core.management.base import CommandError
from django.db import DatabaseError, InterfaceError, connections
from django_tasks_db.management.commands import db_worker

from coursework import room
from coursework.tables_version import fault_of_tables
from coursework.wants import Want, want_of

logger = logging.getLogger(__name__)
TRY_AGAIN_S = 5.0
SAY_AGAIN_S = 60.0
"""Between two lines in the log about the same trouble."""
SENTENCES = {
    Want.DATABASE: "The database cannot be reached: the worker waits and tries again.",
    Want.ROOM: "The database has no room: no task can be taken until somebody makes room.",
    Want.TIME: "The database was busy for too long: the worker tries again.",
}


class Command(db_worker.Command):
    """As a web server does, it outlives a database that is stopped, full or not there yet.

    Only tables of another version end it, and faults of the code.
    """

    help = "Does the tasks of the background; goes on by itself after the database was away."

    def handle(self, *, batch: bool, reload: bool, **options):
        if batch or reload:
            # Somebody sits before it and wants to know at once.
            super().handle(batch=batch, reload=reload, **options)
            return
        for each in (signal.SIGINT, signal.SIGTERM):
            # Until the worker has handlers of its own.
            signal.signal(each, _end)
        trouble = Trouble()
        while True:
            try:
                if fault := fault_of_tables():
                    raise CommandError(f"The tables do not fit this version: {fault}.")
                trouble.is_reached()
                super().handle(batch=batch, reload=reload, **options)
                return
            except (DatabaseError, InterfaceError) as fault:
                want = want_of(fault)
                if want is None:
                    raise
                trouble.tell(want)
            connections.close_all()
            time.sleep(TRY_AGAIN_S)


def _end(_signum, _frame):
    sys.exit(0)


class Trouble:
    """What is in the way, and when that was last said."""

    def __init__(self):
        self._want: Want | None = None
        self._said_at = 0.0

    def tell(self, want: Want) -> None:
        """Called while the fault is handled."""
        if want is Want.ROOM:
            room.refused()
        now = time.monotonic()
        if want is self._want and now < self._said_at + SAY_AGAIN_S:
            return
        self._want, self._said_at = want, now
        logger.warning(SENTENCES[want], exc_info=True)

    def is_reached(self) -> None:
        """The database was read; whether it can be written to is another matter."""
        if self._want is Want.DATABASE:
            self._want = None
            logger.warning("The database answers again: the worker goes on.")
