"""What the server lacks is told from the fault, in whatever language that speaks."""

import errno

import pytest
from django.db import IntegrityError, InterfaceError, InternalError, OperationalError

from coursework.wants import Want, want_of


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
