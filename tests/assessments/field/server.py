"""The site in a process of its own, on the tests' database, to be killed and started again."""

import os
import signal
import socket
import subprocess
import sys
from time import monotonic, sleep

from django.conf import settings
from django.db import connection

from tests.assessments.field.hand import PATIENCE_S


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return taken.getsockname()[1]


def database_url() -> str:
    found = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{found['NAME']}"
    who = found["USER"] + (f":{found['PASSWORD']}" if found["PASSWORD"] else "")
    return f"postgresql://{who}@{found['HOST']}:{found['PORT'] or 5432}/{found['NAME']}"


class Server:
    """gunicorn with one worker, always on the same port and database."""

    def __init__(self, folder):
        self.gate = folder / "gate"
        self.held = folder / "gate.held"
        self.log = folder / "server.log"
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.process = None

    def start(self):
        environment = {
            **os.environ,
            "DATABASE_URL": database_url(),
            "PLUMBSHADOW_DATA": str(settings.DATA_DIR),
            "DJANGO_SETTINGS_MODULE": "tests.settings",
            "HELD_AT": str(self.gate),
            # Where gunicorn puts its socket for commands; the home of whoever tests is theirs.
            "XDG_RUNTIME_DIR": str(self.log.parent),
        }
        command = ["-m", "gunicorn", "--bind", f"127.0.0.1:{self.port}", "--threads", "4"]
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [sys.executable, *command, "tests.assessments.field.held_wsgi:application"],
                cwd=settings.BASE_DIR,
                env=environment,
                stdout=log,
                stderr=log,
                start_new_session=True,
            )
        self._wait_for(self._is_heard)

    def hold_the_next(self, where: str) -> None:
        self.gate.write_text(where)

    def kill_once_it_holds(self) -> None:
        """Ends the process and its workers at once, in the midst of what it is doing."""
        self._wait_for(self.held.exists)
        self.kill()
        self.gate.unlink()
        self.held.unlink()

    def kill(self) -> None:
        if self.process is not None:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.process = None

    def _is_heard(self) -> bool:
        try:
            socket.create_connection(("127.0.0.1", self.port), 1).close()
        except OSError:
            return False
        return True

    def _wait_for(self, condition) -> None:
        give_up_at = monotonic() + PATIENCE_S
        while not condition():
            assert self.process.poll() is None, self.log.read_text()
            assert monotonic() < give_up_at, self.log.read_text()
            sleep(0.05)
