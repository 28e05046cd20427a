"""Sites with databases of their own, and the processes that serve them."""

import json
import os
import random
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import psycopg
import redis
import requests
from psycopg import sql

ROOT = Path(__file__).resolve().parent.parent.parent
POSTGRESQL = "postgresql://postgres@127.0.0.1:5432"
# A database of Redis that nothing else is likely to use; emptied before each use.
REDIS = "redis://127.0.0.1:6379/9"
PATIENCE_S = 60.0
ENGINES = ["sqlite", "postgresql"]
_numbers = count(1)


@dataclass
class Site:
    """One installation: its environment, and the processes that were started for it."""

    folder: Path
    environment: dict[str, str]
    processes: list[subprocess.Popen] = field(default_factory=list)

    def ask(self, name: str, *arguments: str) -> dict:
        """The answer of a function of `tests.engines.inside`."""
        done = subprocess.run(
            self._inside(name, *arguments),
            cwd=ROOT, env=self.environment, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout.splitlines()[-1])

    def query(self, statement: str, *values) -> list[tuple]:
        """Rows straight from its PostgreSQL, within milliseconds."""
        with psycopg.connect(self.environment["DATABASE_URL"]) as connection:
            return connection.execute(statement, values).fetchall()

    def start_inside(self, name: str, *arguments: str) -> subprocess.Popen:
        return self._start(self._inside(name, *arguments), stdout=subprocess.PIPE, text=True)

    def manage(self, *arguments: str) -> subprocess.CompletedProcess:
        return subprocess.run(
            [sys.executable, "manage.py", *arguments],
            cwd=ROOT, env=self.environment, capture_output=True, text=True, check=False,
        )  # fmt: skip

    def start_worker(self, name: str) -> subprocess.Popen:
        """A worker for tasks."""
        command = [sys.executable, "manage.py", "db_worker", "--worker-id", name]
        return self._start([*command, "--interval", "0.2", "--no-startup-delay"])

    def serve(self, **more: str) -> "Server":
        """A web server at a free port; returns once it answers."""
        port = free_port()
        environment = self.environment | {"PLUMBSHADOW_BIND": f"127.0.0.1:{port}"} | more
        command = [sys.executable, "-m", "gunicorn", "-c", "python:coursework.server"]
        server = Server(self._start(command, env=environment), port)
        server.wait()
        return server

    def _inside(self, name: str, *arguments: str) -> list[str]:
        return [sys.executable, "-m", "tests.engines.inside", name, *arguments]

    def _start(self, command: list[str], **more) -> subprocess.Popen:
        options = {"env": self.environment, "cwd": ROOT} | more
        log = (self.folder / f"process-{len(self.processes)}.log").open("w", encoding="utf-8")
        process = subprocess.Popen(command, stderr=log, start_new_session=True, **options)
        log.close()
        self.processes.append(process)
        return process

    def stop(self) -> None:
        for process in self.processes:
            if process.poll() is None:
                # The session that was started above: a server with its workers, nothing else.
                os.killpg(process.pid, signal.SIGKILL)
            process.wait()
            if process.stdout is not None:
                process.stdout.close()

    def logged(self) -> list[dict]:
        """Every line that the processes wrote; each must be JSON."""
        return [
            json.loads(line)
            for log in sorted(self.folder.glob("process-*.log"))
            for line in log.read_text(encoding="utf-8").splitlines()
        ]


@dataclass
class Server:
    """One running web server."""

    process: subprocess.Popen
    port: int

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def wait(self) -> None:
        until = time.monotonic() + PATIENCE_S
        while True:
            try:
                requests.get(f"{self.address}/field/", timeout=10)
                return
            except requests.ConnectionError:
                assert self.process.poll() is None, "The server ended instead of answering."
                assert time.monotonic() < until, "The server does not answer."
                time.sleep(0.1)

    def workers(self) -> list[int]:
        """Process numbers of its workers."""
        pid = self.process.pid
        return [int(n) for n in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]

    def kill_a_worker(self, chance: random.Random) -> bool:
        """Kill one as the system would, unless it is the last one standing."""
        workers = self.workers()
        if len(workers) < 2:
            return False
        os.kill(chance.choice(workers), signal.SIGKILL)
        return True

    def kill(self) -> None:
        """Kill the whole server, all at once."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


@contextmanager
def site(engine: str, folder: Path, **more: str) -> Iterator[Site]:
    """A site on "sqlite", "postgresql" or the database of an address, an empty one.

    The first two are made for it and gone at the end.
    """
    ours = ("PLUMBSHADOW", "DATABASE_URL", "REDIS_URL", "DJANGO")
    environment = {name: value for name, value in os.environ.items() if not name.startswith(ours)}
    environment |= {
        "DJANGO_SETTINGS_MODULE": "coursework.settings",
        "PLUMBSHADOW_DATA": str(folder / "data"),
        "PLUMBSHADOW_HTTPS": "no",
        "PLUMBSHADOW_WORKERS": "2",
    }
    with database(engine) as url:
        if url:
            environment["DATABASE_URL"] = url
        made = Site(folder, environment | more)
        try:
            yield made
        finally:
            made.stop()


@contextmanager
def database(engine: str) -> Iterator[str | None]:
    """The address of a new database, None for SQLite, which makes its own file."""
    if engine == "sqlite":
        yield None
        return
    if engine.startswith("postgresql://"):
        yield engine
        return
    name = f"plumbshadow_engines_{os.getpid()}_{next(_numbers)}"
    with psycopg.connect(f"{POSTGRESQL}/postgres", autocommit=True) as connection:
        connection.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        try:
            yield f"{POSTGRESQL}/{name}"
        finally:
            connection.execute(
                sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name))
            )


def empty_redis() -> str:
    """The address of a Redis database with nothing in it."""
    redis.Redis.from_url(REDIS).flushdb()
    return REDIS
