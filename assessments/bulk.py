"""Many results at once, all or none, with everything that is wrong said at its row."""

from collections.abc import Sequence

from django.db import transaction

from assessments.models import Attempt
from assessments.refusals import Refused
from assessments.services import Entry, record_attempts
from coursework.models import Person


class SeveralRefused(ValueError):  # noqa: N818 - as `Refused`, which it holds
    """Nothing was stored. `refused` has one `Refused` for each entry that cannot be."""

    def __init__(self, refused: Sequence[Refused]) -> None:
        super().__init__("; ".join(one.sentence for one in refused))
        self.refused = refused


def record_all(by: Person, entries: Sequence[Entry]) -> list[Attempt]:
    """Store results as `record_attempts` does; SeveralRefused names every one that cannot be."""
    try:
        return record_attempts(by=by, entries=entries)
    except Refused as first:
        raise SeveralRefused(_each_refused(by, entries) or [first]) from first


def refused_of(by: Person, entries: Sequence[Entry]) -> list[Refused]:
    """What `record_all` would refuse; stores nothing."""
    try:
        with transaction.atomic():
            record_attempts(by=by, entries=entries)
            transaction.set_rollback(True)
    except Refused as first:
        return _each_refused(by, entries) or [first]
    return []


def _each_refused(by: Person, entries: Sequence[Entry]) -> list[Refused]:
    found = []
    for position, entry in enumerate(entries):
        try:
            with transaction.atomic():
                record_attempts(by=by, entries=[entry])
                transaction.set_rollback(True)
        except Refused as refused:
            found.append(Refused(refused.field, refused.sentence, position=position))
    return found
