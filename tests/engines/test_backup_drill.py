"""The drill: back up under load, destroy, restore on the other engine, compare every row."""

import json
import threading
import uuid
import zipfile

import pytest

from tests.engines import servers
from tests.engines.writing import Writer

pytestmark = pytest.mark.engines
WRITERS = 4
BEFORE = 3
"""Results that each writer was told are stored, before the backup begins."""


def rows_of(path) -> dict[str, list]:
    """Every row by its table; read as JSON, since PostgreSQL sorts the members of an object."""
    with zipfile.ZipFile(path) as archive:
        return {
            name: [json.loads(line) for line in archive.read(name).splitlines()]
            for name in archive.namelist()
            if name.startswith("rows/")
        }


@pytest.mark.parametrize(("engine", "other"), [servers.ENGINES, servers.ENGINES[::-1]])
def test_a_backup_under_load_is_restored_on_the_other_engine_row_by_row(engine, other, tmp_path):
    folders = [tmp_path / "first", tmp_path / "second"]
    for folder in folders:
        folder.mkdir()
    file, again = tmp_path / "school.zip", tmp_path / "again.zip"
    with servers.site(engine, folders[0], PLUMBSHADOW_WORKERS="1") as site:
        world = site.ask("prepare", str(WRITERS))
        server = site.serve()
        over, started = threading.Event(), threading.Barrier(WRITERS + 1)
        told: list[str] = []
        sent: list[str] = []

        def work(name: str) -> None:
            writer = Writer(world, name, [server])
            writer.sign_in()
            number = 0
            while not over.is_set():
                key = str(uuid.uuid4())
                sent.append(key)
                writer.send(key, world["students"][number % 12])
                number += 1
                if number <= BEFORE:
                    told.append(key)
                if number == BEFORE:
                    started.wait(timeout=120)

        threads = [threading.Thread(target=work, args=[name]) for name in world["writers"]]
        for thread in threads:
            thread.start()
        try:
            started.wait(timeout=120)
            done = site.manage("backup", str(file), "--with-keys")
        finally:
            over.set()
            for thread in threads:
                thread.join()
        assert done.returncode == 0, done.stderr
        assert len(site.ask("count")["keys"]) == len(sent)
    # Destroyed: the server is killed and its database is gone.
    with servers.site(other, folders[1]) as site:
        done = site.manage("restore", str(file), "--with-keys")
        assert done.returncode == 0, done.stderr
        done = site.manage("backup", str(again))
        assert done.returncode == 0, done.stderr
        before, after = rows_of(file), rows_of(again)
        assert [name for name in before if before[name] != after[name]] == []
        assert before.keys() == after.keys()
        found = site.ask("count")
        # All that was said to be stored before, and nothing half written of what came during it.
        assert set(told) <= set(found["keys"]) <= set(sent)
        assert found["revisions"] == found["arrivals"] == len(found["keys"])
        assert (found["without_revision"], found["sums_are_true"]) == (0, True)
        key = "data/secret-key"
        assert (folders[1] / key).read_bytes() == (folders[0] / key).read_bytes()
