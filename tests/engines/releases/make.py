"""Keeps what this version leaves behind, for the upgrade tests of all later ones.

`.venv/bin/python -m tests.engines.releases.make`, once, with the version of pyproject.toml, right
before it is released. The invented school is built, and used as people would: someone signs in,
someone else fails to, and a packet is printed, which makes the school's key.
"""

import json
import lzma
import re
import sqlite3
import sys
import tempfile
import tomllib
from pathlib import Path

from tests.engines.releases import Release, migration_checksums
from tests.engines.servers import ROOT, Site, site
from tests.engines.walking import Reader


def main() -> None:
    version = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"][
        "version"
    ]
    release = Release(version)
    if release.folder.exists():
        sys.exit(f"What {version} leaves behind is kept already, and stays as it is.")
    with (
        tempfile.TemporaryDirectory(prefix="plumbshadow-release-") as folder,
        site("sqlite", Path(folder), PLUMBSHADOW_WORKERS="1") as made,
    ):
        _use(made)
        release.folder.mkdir()
        _asked(made.manage("backup", str(release.backup), "--with-keys"))
        whole = Path(folder, "whole.sqlite3")
        with sqlite3.connect(Path(folder, "data", "plumbshadow.sqlite3")) as records:
            records.execute("VACUUM INTO ?", [str(whole)])
        release.packed_records.write_bytes(lzma.compress(whole.read_bytes(), preset=9))
    release.migrations.write_text(json.dumps(migration_checksums(), indent=1) + "\n")
    sizes = {path.name: path.stat().st_size for path in release.folder.iterdir()}
    print(f"{version}: {sizes}")


def _use(made: Site) -> None:
    _asked(made.manage("demo", "--no-serve"))
    server = made.serve()
    if Reader(server.address, "zofia", "not her password").sign_in():
        sys.exit("Any password signs in.")
    lead = Reader(server.address, "jadwiga")
    lead.sign_in()
    packets = re.findall(r'href="(/packets/\d+/)"', lead.get("/certificates/").text)
    printed = lead.get(f"{packets[0]}packet.pdf")
    if not printed.content.startswith(b"%PDF"):
        sys.exit(f"The packet was not printed: {printed.status_code}.")
    server.kill()


def _asked(done) -> None:
    if done.returncode:
        sys.exit(done.stderr)


if __name__ == "__main__":
    main()
