"""What each release of Plumbshadow left behind: its database file, its backup, its migrations.

A folder a release, made once by `python -m tests.engines.releases.make` and never changed again.
The records are those of the invented school, and so are the keys in the backup.
"""

import hashlib
import lzma
import zipfile
from dataclasses import dataclass
from pathlib import Path

from tests.engines.servers import ROOT

FOLDER = Path(__file__).resolve().parent
PACKAGES = ("coursework", "assessments")


@dataclass(frozen=True)
class Release:
    """One release, by the number of its version."""

    version: str

    @property
    def folder(self) -> Path:
        return FOLDER / self.version

    @property
    def packed_records(self) -> Path:
        return self.folder / "records.sqlite3.xz"

    @property
    def backup(self) -> Path:
        return self.folder / "backup.zip"

    @property
    def migrations(self) -> Path:
        """A JSON object: the SHA-256 of each migration by its file."""
        return self.folder / "migrations.json"

    def unpack_into(self, data: Path) -> None:
        """The data folder of a site that ran this release: its database and its keys."""
        data.mkdir(parents=True)
        (data / "plumbshadow.sqlite3").write_bytes(
            lzma.decompress(self.packed_records.read_bytes())
        )
        with zipfile.ZipFile(self.backup) as archive:
            for name in archive.namelist():
                if name.startswith("keys/"):
                    path = data / name.removeprefix("keys/")
                    path.parent.mkdir(mode=0o700, exist_ok=True)
                    path.write_bytes(archive.read(name))
                    path.chmod(0o600)


def released() -> list[Release]:
    """Every release, the first one first."""
    found = [path.name for path in FOLDER.iterdir() if (path / "migrations.json").is_file()]
    return [Release(name) for name in sorted(found, key=lambda name: [*map(int, name.split("."))])]


def migration_checksums() -> dict[str, str]:
    """SHA-256 of each of the project's own migrations as it is now, by its file."""
    return {
        str(path.relative_to(ROOT)): hashlib.sha256(path.read_bytes()).hexdigest()
        for package in PACKAGES
        for path in sorted((ROOT / package / "migrations").glob("[0-9]*.py"))
    }
