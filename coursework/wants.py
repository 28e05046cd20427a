"""What a server lacks, told from the fault that was raised: one place, for pages and workers."""

import errno
from enum import Enum

from django.db import DatabaseError, InterfaceError, OperationalError

_NO_ROOM = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_FULL = ("disk is full", "disk full", "no space left", "file too large")
_BUSY = ("is locked", "deadlock", "lock timeout")
# Tables that are not there: a fault of whoever set it up, and waiting mends nothing.
_WRONG = ("no such table", "no such column")


class Want(Enum):
    """What the server lacks."""

    ROOM = "room"
    TIME = "time"
    DATABASE = "database"


# What PostgreSQL says in a language of its own, it also says as an SQLSTATE.
_BY_STATE = {
    "53100": Want.ROOM,  # disk full
    "40001": Want.TIME,  # could not be put in order with others
    "40P01": Want.TIME,  # deadlock
    "55P03": Want.TIME,  # a lock was not given in time
    "57014": Want.TIME,  # cancelled, as after a time limit
    "25006": Want.DATABASE,  # may only be read, as while another server takes over
}


def want_of(error: BaseException | None) -> Want | None:
    """What the server lacked when `error` was raised; None where it is a fault of another kind."""
    if isinstance(error, OSError) and error.errno in _NO_ROOM:
        return Want.ROOM
    if not isinstance(error, DatabaseError | InterfaceError):
        return None
    state = getattr(error.__cause__, "sqlstate", None)
    if state in _BY_STATE:
        return _BY_STATE[state]
    text = str(error).lower()
    if any(words in text for words in _FULL):
        return Want.ROOM
    if not isinstance(error, OperationalError | InterfaceError):
        return None
    if any(words in text for words in _WRONG):
        return None
    return Want.TIME if any(words in text for words in _BUSY) else Want.DATABASE
