"""Builds an invented school with two seasons of results, and serves it on this machine."""

import os
import signal
import subprocess
import sys
from contextlib import ExitStack, contextmanager

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand

from assessments.demo import PASSWORD, SCHOOL, people
from assessments.demo.build import build, is_built
from assessments.models import Attempt


class Command(BaseCommand):
    help = (
        "Prepares the database, builds an invented school with two seasons of results (once; "
        "later runs change nothing), prints the sign-in names and serves on this machine."
    )

    def add_arguments(self, parser):
        parser.add_argument("--port", type=int, default=8000, help="8000 unless said otherwise")
        parser.add_argument("--no-serve", action="store_true", help="build only")

    def handle(self, *, port, no_serve, **options):
        address = settings.ADDRESS or f"http://127.0.0.1:{port}"
        call_command("migrate", verbosity=0, interactive=False)
        if is_built():
            self.stdout.write(f"{SCHOOL} is there already; nothing was changed.")
        else:
            self.stdout.write(f"Building {SCHOOL} …")
            build(address)
            count = Attempt.objects.filter(drill__site__school__name=SCHOOL).count()
            self.stdout.write(f"Built, with {count} results.")
        self._print_names()
        if not no_serve:
            self._serve(port, address)

    def _print_names(self) -> None:
        self.stdout.write(f"\nSign in with one of these names and the password “{PASSWORD}”:\n")
        for username, (name, roles) in _cast().items():
            self.stdout.write(f"  {username:<10} {name:<22} {'; '.join(roles)}")
        self.stdout.write("All other invented students have the same password.\n\n")

    def _serve(self, port: int, address: str) -> None:
        """The site with one background worker beside it; both end together."""
        # On a terminal a line a request would hide the names above; faults are still shown.
        wished = {"PLUMBSHADOW_LOG_LEVEL": "warning", "PLUMBSHADOW_LOG": "text"}
        environment = wished | {"PLUMBSHADOW_WORKERS": "2"} | os.environ
        environment |= {
            "PLUMBSHADOW_ADDRESS": address,
            "PLUMBSHADOW_BIND": f"127.0.0.1:{port}",
            # They work in the project's folder, wherever this was called from.
            "PLUMBSHADOW_DATA": str(settings.DATA_DIR.resolve()),
        }
        if settings.HTTPS:
            # The demonstration is for this machine only, where there is no certificate.
            environment["PLUMBSHADOW_HTTPS"] = "no"
        self.stdout.write(f"Open http://127.0.0.1:{port}/ (Ctrl-C stops it).")
        self.stdout.flush()
        # So that a signal to this process alone ends both as well.
        signal.signal(signal.SIGTERM, lambda *_caught: sys.exit(0))
        with ExitStack() as running:
            server = running.enter_context(_started(SERVER, environment))
            running.enter_context(_started(WORKER, environment))
            try:
                server.wait()
            except KeyboardInterrupt:
                self.stdout.write("Stopping …")


SERVER = ["-m", "gunicorn", "-c", "python:coursework.server"]
WORKER = ["manage.py", "db_worker", "--verbosity", "0"]


@contextmanager
def _started(arguments: list[str], environment: dict[str, str]):
    """A process of this Python, ended when the block is left."""
    process = subprocess.Popen([sys.executable, *arguments], env=environment, cwd=settings.BASE_DIR)
    try:
        yield process
    finally:
        process.terminate()
        try:
            process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            # In the middle of a run: that is taken up at the next start.
            process.kill()
            process.wait()


def _cast() -> dict[str, tuple[str, list[str]]]:
    """Sign-in name to name and roles: who instructs, and two students of each cohort."""
    words = {"lead": "course lead", "assistant": "assistant instructor"}
    cast = {people.ADMIN[0]: (people.ADMIN[1], ["school administrator"])}
    for cohort, members in people.INSTRUCTORS.items():
        for username, name, role in members:
            cast.setdefault(username, (name, []))[1].append(f"{words[role]}, {cohort}")
    for cohort, students in people.STUDENTS.items():
        for username, name, _temper in students[:2]:
            cast.setdefault(username, (name, []))[1].append(f"student, {cohort}")
    return cast
