"""From what each release left behind to this version, and from this one to a made-up next one."""

import json
import sqlite3
import subprocess
import sys
import zipfile
from contextlib import closing
from pathlib import Path

import pytest

from tests.engines import releases, servers
from tests.engines.walking import Reader

pytestmark = pytest.mark.engines
NEXT = {"DJANGO_SETTINGS_MODULE": "tests.engines.next_version.settings"}
# Rows that `migrate` itself writes: what has been run, and the names of new tables and permissions.
WRITTEN_BY_MIGRATE = {"django_migrations", "django_content_type", "auth_permission"}
EVERY_RELEASE = pytest.mark.parametrize(
    "release", releases.released(), ids=lambda each: each.version
)


def rows_of_file(path: Path) -> dict[str, list[dict]]:
    """Every row of a database file by its table, each by the names of its columns."""
    with closing(sqlite3.connect(path)) as records:
        records.row_factory = sqlite3.Row
        names = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        return {
            name: [dict(row) for row in records.execute(f'SELECT * FROM "{name}" ORDER BY 1')]
            for (name,) in records.execute(names).fetchall()
        }


def rows_of_backup(path: Path) -> dict[str, list[dict]]:
    """The same from a backup."""
    with zipfile.ZipFile(path) as archive:
        tables = json.loads(archive.read("manifest.json"))["tables"]
        return {
            table["model"]: [
                dict(zip(table["columns"], json.loads(line), strict=True))
                for line in archive.read(f"rows/{table['model']}.jsonl").splitlines()
            ]
            for table in tables
        }


def changed(before: dict[str, list[dict]], after: dict[str, list[dict]]) -> list[str]:
    """Tables of which a row is lost, added or different in the columns that it had."""

    def kept(old: list[dict], new: list[dict]) -> bool:
        return len(old) == len(new) and all(
            row == {column: now.get(column) for column in row}
            for row, now in zip(old, new, strict=True)
        )

    return [name for name, rows in before.items() if not kept(rows, after[name])]


def upgraded(site: servers.Site, release: releases.Release, engine: str) -> None:
    """As the README says: SQLite by `migrate`, and on PostgreSQL what a backup brings over."""
    if engine == "sqlite":
        release.unpack_into(site.folder / "data")
        done = site.manage("migrate")
    else:
        done = site.manage("restore", str(release.backup), "--with-keys")
    assert done.returncode == 0, done.stderr


@EVERY_RELEASE
@pytest.mark.parametrize("settings", [{}, NEXT], ids=["this version", "next version"])
def test_a_database_file_of_a_release_keeps_every_row(release, settings, tmp_path):
    with servers.site("sqlite", tmp_path, **settings) as site:
        release.unpack_into(tmp_path / "data")
        records = tmp_path / "data" / "plumbshadow.sqlite3"
        before = rows_of_file(records)
        done = site.manage("migrate")
        assert done.returncode == 0, done.stderr
        after = rows_of_file(records)
        kept = {name: rows for name, rows in before.items() if name not in WRITTEN_BY_MIGRATE}
        assert sum(map(len, kept.values())) > 1000
        assert changed(kept, after) == []


@EVERY_RELEASE
def test_a_backup_of_a_release_keeps_every_row_on_postgresql(release, tmp_path):
    again = tmp_path / "again.zip"
    with servers.site("postgresql", tmp_path) as site:
        upgraded(site, release, "postgresql")
        done = site.manage("backup", str(again))
        assert done.returncode == 0, done.stderr
    before = rows_of_backup(release.backup)
    kept = {name: rows for name, rows in before.items() if name not in (
        "contenttypes.contenttype", "auth.permission")}  # fmt: skip
    assert changed(kept, rows_of_backup(again)) == []


@EVERY_RELEASE
@pytest.mark.parametrize("engine", servers.ENGINES)
def test_a_school_of_a_release_goes_on_after_the_upgrade(release, engine, tmp_path):
    with servers.site(engine, tmp_path) as site:
        upgraded(site, release, engine)
        address = site.serve().address
        lead = Reader(address, "jadwiga")
        assert lead.sign_in()
        visits = list(lead.walk(of_a_kind=1))
        assert [(each.path, each.answer.status_code) for each in visits
                if each.answer.status_code >= 400] == []  # fmt: skip
        # The packet is printed with the school's key, which came along.
        kinds = {each.kind for each in visits}
        assert {"attempt-detail", "record", "planner", "packet-pdf", "field"} <= kinds
        packet = next(each.answer for each in visits if each.kind == "packet-pdf")
        assert packet.content.startswith(b"%PDF")
        health = Reader(address).get("/healthz").json()
        assert health["parts"]["migrations"] == "ok"


@pytest.mark.parametrize("engine", servers.ENGINES)
def test_what_a_next_version_adds_is_filled_from_the_rows_of_the_last_release(engine, tmp_path):
    release = releases.released()[-1]
    with servers.site(engine, tmp_path, **NEXT) as site:
        upgraded(site, release, engine)
        added = site.ask("added_by_the_next_version")
    assert added["lengths"] == added["titles"]
    assert added["remarks"] == added["attempts"] > 400


def test_a_server_refuses_tables_of_a_version_before_and_after_it(tmp_path):
    release = releases.released()[0]
    with servers.site("sqlite", tmp_path) as site:
        release.unpack_into(tmp_path / "data")
        site.environment |= NEXT
        assert " to run: manage.py migrate" in refused(site)
        assert site.manage("migrate").returncode == 0
        site.environment["DJANGO_SETTINGS_MODULE"] = "coursework.settings"
        said = refused(site)
        assert "made by a newer version (coursework n_next)" in said
        assert "restore the backup that was made before it" in said


def refused(site: servers.Site) -> str:
    """What a web server says that does not start."""
    done = subprocess.run(
        [sys.executable, "-m", "gunicorn", "-c", "python:coursework.server"],
        cwd=servers.ROOT, env=site.environment | {"PLUMBSHADOW_BIND": "127.0.0.1:0"},
        capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip
    assert done.returncode != 0
    return done.stderr


@EVERY_RELEASE
def test_no_migration_of_a_release_was_changed_or_taken_away(release):
    now = releases.migration_checksums()
    then = json.loads(release.migrations.read_text())
    assert {name for name, checksum in then.items() if now.get(name) != checksum} == set()
