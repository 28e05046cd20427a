"""A backup holds every row, and is refused as a whole where anything about it is wrong."""

import json
import shutil
import zipfile
from io import StringIO
from pathlib import Path

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from assessments.models import Attempt
from coursework.backups import BackupError, layout, tables, writing
from coursework.backups.layout import Backup
from coursework.backups.restoring import restore_backup
from coursework.models import Person, School
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db(transaction=True)


def all_rows() -> dict[str, list]:
    return {
        model._meta.label_lower: list(tables.plain_rows(model)) for model in tables.models_of(apps)
    }


def emptied() -> None:
    call_command("flush", verbosity=0, interactive=False)


@pytest.fixture
def file(tmp_path) -> Path:
    """A backup of a small school with one result."""
    results.attempt()
    path = tmp_path / "school.zip"
    writing.write_backup(path)
    return path


def restored(path: Path, **more) -> None:
    with Backup(path) as backup:
        restore_backup(backup, **more)


def changed(path: Path, member: str, change) -> Path:
    """The same backup with one member put through `change`; None leaves it out."""
    made = path.with_name("changed.zip")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(made, "w") as new:
        for name in old.namelist():
            content = change(old.read(name)) if name == member else old.read(name)
            if content is not None:
                new.writestr(name, content)
    return made


def resigned(path: Path, change) -> Path:
    """The same backup with another manifest that its checksum fits."""
    made = path.with_name("resigned.zip")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(made, "w") as new:
        said = json.loads(old.read(layout.MANIFEST))
        change(said)
        content = json.dumps(said).encode()
        for name in old.namelist():
            if name not in (layout.MANIFEST, layout.CHECKSUM):
                new.writestr(name, old.read(name))
        new.writestr(layout.MANIFEST, content)
        new.writestr(layout.CHECKSUM, layout.digest_of(iter([content])))
    return made


def test_every_row_is_the_same_after_it_was_destroyed_and_restored(file):
    before = all_rows()
    assert sum(len(rows) for rows in before.values()) > 20
    emptied()
    assert not Attempt.objects.exists()
    restored(file)
    assert all_rows() == before


def test_what_is_added_after_a_restore_gets_a_number_of_its_own(file):
    emptied()
    restored(file)
    highest = max(Person.objects.values_list("pk", flat=True))
    assert builders.person().pk > highest


def test_nobody_stays_signed_in(tmp_path):
    Session.objects.create(session_key="k", session_data="d", expire_date=timezone.now())
    writing.write_backup(tmp_path / "school.zip")
    with Backup(tmp_path / "school.zip") as backup:
        assert "sessions.session" not in {table.model for table in backup.manifest.tables}


def test_a_place_with_records_is_left_alone(file):
    before = all_rows()
    with pytest.raises(BackupError, match="There are records here already"):
        restored(file)
    assert all_rows() == before


def test_a_place_with_records_is_replaced_when_that_is_said(file):
    before = all_rows()
    School.objects.create(name="A later one")
    restored(file, replace=True)
    assert all_rows() == before


def test_a_backup_is_never_written_over_another(file):
    content = file.read_bytes()
    with pytest.raises(BackupError, match="there already"):
        writing.write_backup(file)
    assert file.read_bytes() == content


def test_a_backup_is_for_its_owner_alone_and_no_draft_is_left(file):
    assert file.stat().st_mode & 0o777 == 0o600
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def parts_of(path) -> dict[str, bytes]:
    with Backup(path) as backup:
        return {name: backup.read(name) for name in backup.archive.namelist()}


@pytest.mark.parametrize("where", [n / 40 for n in range(40)])
def test_damaged_bytes_anywhere_are_found_or_change_nothing_that_is_read(file, where):
    """Such as the date of a part in the archive, which nobody reads."""
    whole, content = parts_of(file), bytearray(file.read_bytes())
    for n in range(int(len(content) * where), int(len(content) * where) + 8):
        content[n] ^= 0xFF
    file.write_bytes(content)
    try:
        assert parts_of(file) == whole
    except BackupError as error:
        assert "damaged" in str(error)


def test_a_damaged_byte_of_a_part_is_found(file):
    with zipfile.ZipFile(file) as archive:
        part = max(archive.infolist(), key=lambda part: part.compress_size)
    content = bytearray(file.read_bytes())
    content[part.header_offset + 30 + len(part.filename) + part.compress_size // 2] ^= 0xFF
    file.write_bytes(content)
    with pytest.raises(BackupError, match="damaged"):
        Backup(file)


def test_a_file_that_was_cut_off_is_refused(file):
    file.write_bytes(file.read_bytes()[:-2000])
    with pytest.raises(BackupError, match="damaged, or no backup"):
        Backup(file)


def test_any_other_file_is_refused(tmp_path):
    other = tmp_path / "other.zip"
    with zipfile.ZipFile(other, "w") as archive:
        archive.writestr("letter.txt", "Dear all")
    with pytest.raises(BackupError, match="no backup"):
        Backup(other)


@pytest.mark.parametrize(
    ("member", "change"),
    [
        ("rows/coursework.person.jsonl", lambda content: content[:-10]),
        ("rows/coursework.person.jsonl", lambda content: None),
        (layout.MANIFEST, lambda content: content.replace(b'"rows": 1', b'"rows": 2')),
    ],
)
def test_a_changed_part_is_found(file, member, change):
    with pytest.raises(BackupError, match="damaged"):
        Backup(changed(file, member, change))


def test_a_part_that_does_not_belong_is_found(file):
    with zipfile.ZipFile(file, "a") as archive:
        archive.writestr("rows/more.jsonl", "[]")
    with pytest.raises(BackupError, match="were added"):
        Backup(file)


def test_a_newer_format_is_refused_with_the_way_out(file):
    newer = resigned(file, lambda said: said.update(version=layout.VERSION + 1))
    with pytest.raises(BackupError, match="newer version of Plumbshadow: update this one first"):
        Backup(newer)


def test_tables_of_a_newer_version_are_refused_before_anything_is_written(file):
    newer = resigned(file, lambda said: said["migrations"].append("coursework.9999_later"))
    emptied()
    before = all_rows()
    with pytest.raises(BackupError, match="newer version of Plumbshadow"):
        restored(newer)
    assert all_rows() == before


def test_tables_of_another_version_than_here_are_refused(file):
    def older(said):
        said["migrations"] = [name for name in said["migrations"] if "assessments" not in name]

    emptied()
    with pytest.raises(BackupError, match="of another version"):
        restored(resigned(file, older))


def test_columns_that_are_not_those_of_the_version_are_refused(file):
    def renamed(said):
        said["tables"][0]["columns"][-1] = "else"

    emptied()
    with pytest.raises(BackupError, match="other columns"):
        restored(resigned(file, renamed))


def test_rows_that_do_not_fit_together_leave_nothing_behind(file, monkeypatch):
    emptied()
    before = all_rows()
    plain = Backup.rows

    def without_schools(self, table):
        return iter(()) if table.model == "coursework.school" else plain(self, table)

    monkeypatch.setattr(Backup, "rows", without_schools)
    with pytest.raises(BackupError, match="nothing was restored"):
        restored(file)
    assert all_rows() == before


def test_a_full_disk_leaves_no_half_written_backup(tmp_path, monkeypatch):
    def full(*args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(writing.os, "fsync", full)
    with pytest.raises(BackupError, match="No space left on device"):
        writing.write_backup(tmp_path / "school.zip")
    assert list(tmp_path.iterdir()) == []


def test_keys_are_in_it_only_on_request(file, settings, tmp_path):
    settings.DATA_DIR = tmp_path / "data"
    (settings.DATA_DIR / "school-keys").mkdir(parents=True)
    (settings.DATA_DIR / "secret-key").write_text("s" * 60)
    (settings.DATA_DIR / "school-keys" / "1.pem").write_text("private")
    with Backup(file) as backup:
        assert backup.manifest.key_files == []
        with pytest.raises(BackupError, match="holds no keys"):
            restore_backup(backup, replace=True, with_keys=True)
    manifest = writing.write_backup(tmp_path / "keys.zip", with_keys=True)
    assert manifest.key_files == ["keys/school-keys/1.pem", "keys/secret-key"]
    shutil.rmtree(settings.DATA_DIR)
    restored(tmp_path / "keys.zip", replace=True, with_keys=True)
    key = settings.DATA_DIR / "school-keys" / "1.pem"
    assert (key.read_text(), key.stat().st_mode & 0o777) == ("private", 0o600)
    assert (settings.DATA_DIR / "secret-key").read_text() == "s" * 60


def test_what_is_stored_while_a_backup_is_made_is_in_it_whole_or_not_at_all(tmp_path):
    builders.school()
    with writing.one_instant():
        before = School.objects.count()
        in_another_connection(lambda: builders.school())
        assert School.objects.count() == before
    assert School.objects.count() == before + 1


def in_another_connection(work) -> None:
    import threading

    def run():
        try:
            work()
        finally:
            connection.close()

    thread = threading.Thread(target=run)
    thread.start()
    thread.join()


def test_the_commands_say_what_they_did_and_what_is_wrong(file, tmp_path):
    out = StringIO()
    call_command("backup", str(tmp_path / "two.zip"), stdout=out)
    assert "without keys" in out.getvalue()
    call_command("restore", str(tmp_path / "two.zip"), "--check-only", stdout=out)
    assert "The backup is whole" in out.getvalue()
    with pytest.raises(CommandError, match="--replace-everything"):
        call_command("restore", str(file), stdout=out)
    with pytest.raises(CommandError, match="There is no file"):
        call_command("restore", str(tmp_path / "none.zip"), stdout=out)
