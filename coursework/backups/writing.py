"""Writing a backup while the site runs: one instant of the database, nobody has to wait."""

import hashlib
import json
import os
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import connection, transaction
from django.db.migrations.recorder import MigrationRecorder
from django.utils import timezone

from coursework.backups import BackupError, tables
from coursework.backups.layout import CHECKSUM, KEYS, MANIFEST, Manifest, Table

KEY_PLACES = ("secret-key", "school-keys")


@contextmanager
def one_instant() -> Iterator[None]:
    """Everything read within is of the same instant, and nobody who writes has to wait for it."""
    if connection.in_atomic_block:
        raise BackupError("A backup cannot be made within a transaction.")
    if connection.vendor == "sqlite":
        # Not `atomic`, which takes the lock of whoever writes: with the write-ahead log, readers
        # keep the instant of their first query.
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
            try:
                yield
            finally:
                cursor.execute("ROLLBACK")
        return
    with transaction.atomic():
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


def write_backup(path: Path, *, with_keys: bool = False) -> Manifest:
    """Write a backup to `path`, which must not exist yet, and return what it holds.

    `with_keys` adds the secret key and the schools' signing keys. BackupError where it cannot be
    written; then no file is left behind.
    """
    if path.exists():
        raise BackupError(f"{path} is there already: give another name.")
    draft = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        # For its owner alone: it holds everything the school has.
        descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
                manifest = _fill(archive, with_keys=with_keys)
            file.flush()
            os.fsync(file.fileno())
        # A link fails where another backup of this name was made meanwhile.
        os.link(draft, path)
    except OSError as error:
        raise BackupError(f"The backup cannot be written: {error.strerror}.") from error
    finally:
        draft.unlink(missing_ok=True)
    return manifest


def _fill(archive: zipfile.ZipFile, *, with_keys: bool) -> Manifest:
    made: list[Table] = []
    checksums: dict[str, str] = {}
    with one_instant():
        applied = MigrationRecorder(connection).applied_migrations()
        for model in tables.models_of(apps):
            table, checksum = _write_table(archive, model)
            made.append(table)
            checksums[table.file] = checksum
    for name, path in _keys() if with_keys else ():
        content = path.read_bytes()
        archive.writestr(name, content)
        checksums[name] = hashlib.sha256(content).hexdigest()
    manifest = Manifest(
        made_at=timezone.now().isoformat(timespec="seconds"),
        engine=connection.vendor,
        migrations=sorted(f"{app}.{name}" for app, name in applied),
        tables=made,
        checksums=checksums,
    )
    said = manifest.to_json()
    archive.writestr(MANIFEST, said)
    archive.writestr(CHECKSUM, hashlib.sha256(said).hexdigest() + "\n")
    return manifest


def _write_table(archive: zipfile.ZipFile, model) -> tuple[Table, str]:
    name = Table(model=model._meta.label_lower, columns=[], rows=0).file
    digest, rows = hashlib.sha256(), 0
    with archive.open(name, "w", force_zip64=True) as file:
        for row in tables.plain_rows(model):
            line = json.dumps(row, ensure_ascii=False).encode() + b"\n"
            digest.update(line)
            file.write(line)
            rows += 1
    columns = tables.columns_of(model)
    return Table(model=model._meta.label_lower, columns=columns, rows=rows), digest.hexdigest()


def _keys() -> Iterator[tuple[str, Path]]:
    """The keys of the data folder, as they are named in the file."""
    folder = Path(settings.DATA_DIR)
    for place in KEY_PLACES:
        found = folder / place
        for path in sorted(found.rglob("*")) if found.is_dir() else [found]:
            if path.is_file():
                yield KEYS + path.relative_to(folder).as_posix(), path
