"""A Redis and a PostgreSQL of one test alone, to be killed, starved and started again."""

import contextlib
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

import psycopg
import redis
from psycopg import sql

from tests.engines.servers import PATIENCE_S, free_port

BLOCK, SEGMENT = 8192, 2**20
"""Bytes of a page of PostgreSQL, by which files grow, and of a segment of its log."""


class PrivateRedis:
    """Keeps nothing on the disk: what was in it is gone with it."""

    def __init__(self):
        self.port = free_port()
        self.process: subprocess.Popen | None = None
        self.start()

    @property
    def url(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        command = ["redis-server", "--bind", "127.0.0.1", "--port", str(self.port)]
        self.process = subprocess.Popen(
            [*command, "--save", "", "--appendonly", "no"], stdout=subprocess.DEVNULL
        )
        _wait_for(self.client().ping, redis.ConnectionError)

    def client(self) -> redis.Redis:
        return redis.Redis.from_url(self.url, socket_timeout=5)

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()

    def freeze(self) -> None:
        """It takes connections and says nothing."""
        self.process.send_signal(signal.SIGSTOP)

    def thaw(self) -> None:
        self.process.send_signal(signal.SIGCONT)


class PrivatePostgreSQL:
    """A cluster in a folder of its own, run by `postgres` where we are root: it refuses to be."""

    def __init__(self):
        self.port = free_port()
        self.folder = Path(tempfile.mkdtemp(prefix="plumbshadow-cluster-"))
        self.as_user = {}
        if os.getuid() == 0:
            account = pwd.getpwnam("postgres")
            os.chown(self.folder, account.pw_uid, account.pw_gid)
            self.as_user = {"user": account.pw_uid, "group": account.pw_gid, "extra_groups": []}
        # Small segments of the log: the limit on files below must not touch them.
        self._run(
            self._program("initdb"), "-D", "data", "-U", "postgres", "-A", "trust", "--no-sync",
            "--wal-segsize=1", "--encoding=UTF8", "--locale=C",
        )  # fmt: skip
        self.start()

    @property
    def url(self) -> str:
        return f"postgresql://postgres@127.0.0.1:{self.port}/postgres"

    def _program(self, name: str) -> str:
        return str(sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"))[-1])

    def _run(self, *command: str, check: bool = True) -> None:
        done = subprocess.run(
            command,
            cwd=self.folder, capture_output=True, text=True, check=False, **self.as_user,
        )  # fmt: skip
        assert not check or done.returncode == 0, done.stdout + done.stderr

    def start(self) -> None:
        options = ["-p", str(self.port), "-k", str(self.folder), "-c", "autovacuum=off"]
        options += ["-c", "listen_addresses=127.0.0.1"]
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen(
                [self._program("postgres"), "-D", "data", *options],
                cwd=self.folder, stdout=log, stderr=log, **self.as_user,
            )  # fmt: skip
        _wait_for(lambda: psycopg.connect(self.url).close(), psycopg.OperationalError)

    def stop(self) -> None:
        """As its administrator does it: whoever is connected is sent away."""
        self.process.send_signal(signal.SIGINT)
        self.process.wait()

    def kill(self) -> None:
        """All its processes at once, as when the power fails; it recovers when it starts."""
        others = self._others()
        self.process.kill()
        for pid in others:
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        self.process.wait()
        _wait_for(lambda: _assert_gone(others), AssertionError)

    def _others(self) -> list[int]:
        pid = self.process.pid
        return [int(n) for n in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]

    def may_grow(self, *, yes: bool) -> None:
        """Whether its tables may grow past the size of a segment of its log, and half a page.

        The system then cuts a write short, which PostgreSQL takes as it does a full disk. It is a
        limit of the processes, which their own user may set: no file system has to be made.
        """
        with psycopg.connect(self.url, autocommit=True) as connection:
            # What is in larger files already is written, so that nothing else fails.
            connection.execute("CHECKPOINT")
        limit = "unlimited" if yes else str(SEGMENT + BLOCK // 2)
        self._limit(self.process.pid, limit)
        # Whoever comes from now on has it from the first; one that ended meanwhile needs none.
        for pid in self._others():
            self._limit(pid, limit, check=False)

    def grow(self, table: str) -> None:
        """Let a table be as large as `may_grow` will allow, by changes that are taken back.

        There must be a row in it.
        """
        size = sql.SQL("SELECT pg_relation_size({})").format(table)
        change = sql.SQL("UPDATE {} SET id = id").format(sql.Identifier(table))
        with psycopg.connect(self.url) as connection:
            while connection.execute(size).fetchone()[0] < SEGMENT:
                connection.execute(change)
            connection.rollback()

    def _limit(self, pid: int, size: str, *, check: bool = True) -> None:
        self._run("prlimit", "--pid", str(pid), f"--fsize={size}:", check=check)

    def remove(self) -> None:
        if self.process.poll() is None:
            self.kill()
        shutil.rmtree(self.folder)


def _assert_gone(pids: list[int]) -> None:
    """Gone, or dead and waiting for the system to take notice."""
    for pid in pids:
        try:
            state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
        except FileNotFoundError:
            continue
        assert state == "Z"


def _wait_for(what, fault: type[Exception]) -> None:
    until = time.monotonic() + PATIENCE_S
    while True:
        try:
            what()
            return
        except fault:
            assert time.monotonic() < until, "It does not answer."
            time.sleep(0.05)
