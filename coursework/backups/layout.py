"""What a backup is made of, and reading it back with every checksum held."""

import hashlib
import json
import zipfile
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path, PurePosixPath

from coursework.backups import BackupError

FORMAT = "plumbshadow backup"
VERSION = 1
"""Raised when a file can no longer be read by the version before."""
MANIFEST, CHECKSUM = "manifest.json", "manifest.sha256"
ROWS, KEYS = "rows/", "keys/"
_CHUNK = 1 << 20


@dataclass(frozen=True, kw_only=True)
class Table:
    """One table: its model as "app.model", its columns, and how many rows the file has of it."""

    model: str
    columns: list[str]
    rows: int

    @property
    def file(self) -> str:
        return f"{ROWS}{self.model}.jsonl"


@dataclass(frozen=True, kw_only=True)
class Manifest:
    """`migrations` are the tables' state as "app.name"; `checksums` SHA-256 by file name."""

    made_at: str
    engine: str
    migrations: list[str]
    tables: list[Table]
    checksums: dict[str, str]

    def to_json(self) -> bytes:
        said = {"format": FORMAT, "version": VERSION} | asdict(self)
        return json.dumps(said, indent=1, ensure_ascii=False).encode()

    @property
    def rows(self) -> int:
        return sum(table.rows for table in self.tables)

    @property
    def key_files(self) -> list[str]:
        return sorted(name for name in self.checksums if name.startswith(KEYS))


def digest_of(chunks: Iterator[bytes]) -> str:
    found = hashlib.sha256()
    for chunk in chunks:
        found.update(chunk)
    return found.hexdigest()


class Backup:
    """An opened file whose every part was held against its checksum."""

    def __init__(self, path: Path):
        try:
            self.archive = zipfile.ZipFile(path)
        except FileNotFoundError as error:
            raise BackupError(f"There is no file {path}.") from error
        except (zipfile.BadZipFile, OSError, RuntimeError) as error:
            raise BackupError(f"{path} is damaged, or no backup at all.") from error
        try:
            self.manifest = self._manifest()
            self._check_all()
        except BaseException:
            self.archive.close()
            raise

    def __enter__(self) -> "Backup":
        return self

    def __exit__(self, *fault) -> None:
        self.archive.close()

    def rows(self, table: Table) -> Iterator[list]:
        with self.archive.open(table.file) as lines:
            for line in lines:
                yield json.loads(line)

    def read(self, name: str) -> bytes:
        return b"".join(self._chunks(name))

    def _manifest(self) -> Manifest:
        try:
            said, checksum = self.read(MANIFEST), self.read(CHECKSUM).decode().strip()
            if hashlib.sha256(said).hexdigest() != checksum:
                raise BackupError("The backup is damaged: its list of contents was changed.")
            found = json.loads(said)
            if found.pop("format") != FORMAT:
                raise BackupError("The file is no backup of Plumbshadow.")
            version = found.pop("version")
            if version > VERSION:
                raise BackupError(
                    "The backup was made by a newer version of Plumbshadow: update this one first."
                )
            tables = [Table(**table) for table in found.pop("tables")]
            return Manifest(tables=tables, **found)
        except (KeyError, ValueError, TypeError) as error:
            raise BackupError("The file is no backup of Plumbshadow, or damaged.") from error

    def _check_all(self) -> None:
        wanted = set(self.manifest.checksums)
        there = set(self.archive.namelist()) - {MANIFEST, CHECKSUM}
        if wanted != there or not {table.file for table in self.manifest.tables} <= wanted:
            raise BackupError("The backup is damaged: parts of it are missing, or were added.")
        for name, checksum in self.manifest.checksums.items():
            parts = PurePosixPath(name).parts
            if name.startswith("/") or ".." in parts:
                raise BackupError("The backup is damaged: a part of it lies outside of it.")
            if digest_of(self._chunks(name)) != checksum:
                raise BackupError(f"The backup is damaged: {name} is not as it was written.")

    def _chunks(self, name: str) -> Iterator[bytes]:
        try:
            with self.archive.open(name) as file:
                while chunk := file.read(_CHUNK):
                    yield chunk
        except (zipfile.BadZipFile, OSError, EOFError, RuntimeError) as error:
            # A damaged flag says that it is encrypted or packed in an unknown way: RuntimeError.
            raise BackupError(f"The backup is damaged: {name} cannot be read.") from error
        except Exception as error:
            # zlib has an exception of its own for what it cannot unpack.
            if type(error).__module__ == "zlib":
                raise BackupError(f"The backup is damaged: {name} cannot be read.") from error
            raise
