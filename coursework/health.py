"""Whether the site can do its work: asked by whoever watches the server, and nobody's data told."""

import logging
import os
import shutil
import tempfile
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from uuid import uuid4

from django.conf import settings
from django.core.cache import cache
from django.db import DatabaseError, connection
from django.utils import timezone
from django_tasks_db.models import DBTaskResult
from redis.exceptions import RedisError

from coursework.room import refused_at
from coursework.tables_version import fault_of_tables

logger = logging.getLogger(__name__)
MEGABYTE = 1_000_000
OVERDUE_AFTER = timedelta(minutes=10)
"""Several runs of packets one after the other take less."""


class UnwellError(Exception):
    """Something is not as it must be; the words are for whoever runs the server."""


def database() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
        cursor.fetchone()


def cache_answers() -> None:
    """What is put into the cache can be read back.

    Asks the shared one itself: pages go on without it, so only this tells that it is gone.
    """
    asked = getattr(cache, "shared", cache)
    key, value = f"health:{uuid4()}", uuid4().hex
    try:
        asked.set(key, value, 10)
        found = asked.get(key)
        asked.delete(key)
    except RedisError as fault:
        logger.warning("The shared cache does not answer.", exc_info=True)
        raise UnwellError(
            "cannot be reached; pages go on, each process keeps and counts for itself"
        ) from fault
    if found != value:
        raise UnwellError("does not keep what is put into it")


def disk() -> None:
    """The data folder can be written to, and enough is free for the embedded database to grow."""
    free_mb = shutil.disk_usage(settings.DATA_DIR).free // MEGABYTE
    if free_mb < settings.LEAST_FREE_MB:
        raise UnwellError(f"{free_mb} MB free, {settings.LEAST_FREE_MB} wanted")
    try:
        with tempfile.NamedTemporaryFile(dir=Path(settings.DATA_DIR), prefix=".health-") as file:
            file.write(b"x" * 4096)
            file.flush()
            os.fsync(file.fileno())
    except OSError as fault:
        raise UnwellError("the data folder cannot be written to") from fault


def room_in_database() -> None:
    """Nothing was refused for want of room, or the database has room again."""
    if since := refused_at():
        raise UnwellError(f"none: something was not stored at {since:%Y-%m-%dT%H:%M:%SZ}")


def migrations() -> None:
    """The tables are those of this version: manage.py migrate has been run."""
    if fault := fault_of_tables():
        raise UnwellError(fault)


def worker() -> None:
    """No task of the background is long overdue."""
    now = timezone.now()
    late = now - OVERDUE_AFTER
    due = DBTaskResult.objects.ready().filter(enqueued_at__lte=late)
    # One that was to wait until later may have become due just now.
    if number := due.exclude(run_after__gt=late, run_after__lte=now).count():
        minutes = OVERDUE_AFTER // timedelta(minutes=1)
        raise UnwellError(
            f"tasks overdue by {minutes} minutes and more: {number}; "
            "is manage.py db_worker running?"
        )


PARTS: dict[str, Callable[[], None]] = {
    "database": database,
    "cache": cache_answers,
    "disk": disk,
    "room": room_in_database,
    "migrations": migrations,
    "worker": worker,
}


def examine() -> dict[str, str]:
    """Each part with "ok" or, in a few words, what is wrong with it."""
    return {name: _state_of(name, part) for name, part in PARTS.items()}


def _state_of(name: str, part: Callable[[], None]) -> str:
    try:
        part()
    except UnwellError as fault:
        return str(fault)
    except (DatabaseError, OSError):
        # The text of such a fault may name hosts and accounts: it is for the log alone.
        facts = {"part": name}
        logger.exception("The health of a part could not be found out.", extra={"facts": facts})
        return "cannot be reached"
    return "ok"
