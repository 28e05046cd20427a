"""Reading a backup back: all of it or nothing, and never over what is there unless told to."""

import os
from collections.abc import Iterable
from itertools import islice
from pathlib import Path

from django.apps import apps as apps_now
from django.apps.registry import Apps
from django.conf import settings
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import DatabaseError, connection, models, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.models.sql import InsertQuery

from coursework.backups import BackupError, tables
from coursework.backups.layout import KEYS, Backup, Table

# What `migrate` puts into an empty database by itself.
MADE_BY_MIGRATE = {"contenttypes.contenttype", "auth.permission"}
_BATCH = 500


def restore_backup(backup: Backup, *, replace: bool = False, with_keys: bool = False) -> None:
    """Fill the database from a backup, on whichever engine, and bring it up to this version.

    BackupError, and nothing changed, where the place is not empty and `replace` is not asked for,
    or where the backup is of a newer version. `with_keys` also writes the keys it holds.
    """
    executor = MigrationExecutor(connection)
    wanted = {tuple(name.split(".", 1)) for name in backup.manifest.migrations}
    if wanted - set(executor.loader.disk_migrations):
        raise BackupError(
            "The backup was made by a newer version of Plumbshadow: update this one first."
        )
    if with_keys and not backup.manifest.key_files:
        raise BackupError("The backup holds no keys.")
    applied = set(executor.loader.applied_migrations)
    if applied and not replace and _has_rows():
        raise BackupError(
            "There are records here already. Restore into a new data folder or database, or say "
            "--replace-everything to have all of them deleted first."
        )
    if applied and applied != wanted:
        raise BackupError(
            "The tables here are of another version than the backup. Restore into a new data "
            "folder or database, where 'migrate' has not been run."
        )
    targets = [node for node in wanted if not _is_followed(executor, node, wanted)]
    apps = executor.loader.project_state(targets).apps
    pairs = _paired(backup.manifest.tables, apps)
    if not applied:
        executor.migrate(targets)
    try:
        with transaction.atomic():
            _fill(backup, pairs)
    except (DatabaseError, ValueError, TypeError) as error:
        raise BackupError("The rows of the backup do not fit; nothing was restored.") from error
    if with_keys:
        _write_keys(backup)
    call_command("migrate", verbosity=0, interactive=False)


def _has_rows() -> bool:
    there = set(connection.introspection.table_names())
    return any(
        model._base_manager.exists()
        for model in tables.models_of(apps_now)
        if model._meta.db_table in there and model._meta.label_lower not in MADE_BY_MIGRATE
    )


def _is_followed(executor: MigrationExecutor, node: tuple, wanted: set[tuple]) -> bool:
    """Whether a later migration of the same app is wanted as well."""
    children = executor.loader.graph.node_map[node].children
    return any(child.key in wanted and child.key[0] == node[0] for child in children)


def _paired(found: list[Table], apps: Apps) -> list[tuple[Table, type[models.Model]]]:
    """Each table of the backup with its model as it was when the backup was made."""
    known = {model._meta.label_lower: model for model in tables.models_of(apps)}
    if {table.model for table in found} != set(known):
        raise BackupError("The backup does not have the tables of the version that it names.")
    for table in found:
        # In any order: migrations add columns where the models may list them earlier.
        if set(table.columns) != set(tables.columns_of(known[table.model])):
            raise BackupError(f"The backup’s table {table.model} has other columns than it should.")
    return [(table, known[table.model]) for table in found]


def _fill(backup: Backup, pairs: list[tuple[Table, type[models.Model]]]) -> None:
    # Rows may point to rows that come later: held at the end of the transaction, by both engines.
    with connection.constraint_checks_disabled():
        for _table, model in pairs:
            model._base_manager.all()._raw_delete(connection.alias)
        for table, model in pairs:
            rows = (tables.object_of(model, table.columns, row) for row in backup.rows(table))
            if _insert(model, rows) != table.rows:
                raise BackupError("The backup is damaged: rows are missing; nothing was restored.")
    connection.check_constraints()
    numbered = [model for _table, model in pairs]
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), numbered):
            cursor.execute(statement)


def _insert(model: type[models.Model], rows: Iterable[models.Model]) -> int:
    """Rows as they are: not by `bulk_create`, which would set the fields that set themselves."""
    fields, rows, number = model._meta.concrete_fields, iter(rows), 0
    most = connection.ops.bulk_batch_size(fields, [None] * _BATCH)
    while batch := list(islice(rows, max(1, most))):
        query = InsertQuery(model)
        query.insert_values(fields, batch, raw=True)
        query.get_compiler(connection=connection).execute_sql()
        number += len(batch)
    return number


def _write_keys(backup: Backup) -> None:
    folder = Path(settings.DATA_DIR)
    for name in backup.manifest.key_files:
        path = folder / name.removeprefix(KEYS)
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        draft = path.with_name(f".{path.name}.{os.getpid()}")
        descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            file.write(backup.read(name))
        draft.replace(path)
