"""Whether the tables of the database are those of this version of the code."""

from functools import cache as computed_once

from django.db import connection
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.recorder import MigrationRecorder


@computed_once
def _known() -> frozenset[tuple[str, str]]:
    # The files do not change while a process runs.
    return frozenset(MigrationLoader(None, ignore_no_migrations=True).disk_migrations)


def fault_of_tables() -> str | None:
    """What is to be done about them, None where they fit; DatabaseError if they cannot be read.

    Migrations of packages that are no longer installed do not count: their tables are left alone.
    """
    known = _known()
    packages = {package for package, _name in known}
    applied = set(MigrationRecorder(connection).applied_migrations())
    if newer := sorted(each for each in applied - known if each[0] in packages):
        return (
            f"made by a newer version ({newer[-1][0]} {newer[-1][1]}): bring that version of "
            "Plumbshadow in again, or restore the backup that was made before it"
        )
    if missing := known - applied:
        return f"{len(missing)} to run: manage.py migrate"
    return None
