"""Builds an invented school with two seasons of results, and serves it on this machine."""

import os
import sys

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
        call_command("migrate", verbosity=0, interactive=False)
        if is_built():
            self.stdout.write(f"{SCHOOL} is there already; nothing was changed.")
        else:
            self.stdout.write(f"Building {SCHOOL} …")
            build()
            count = Attempt.objects.filter(drill__site__school__name=SCHOOL).count()
            self.stdout.write(f"Built, with {count} results.")
        self._print_names()
        if not no_serve:
            self._serve(port)

    def _print_names(self) -> None:
        self.stdout.write(f"\nSign in with one of these names and the password “{PASSWORD}”:\n")
        for username, (name, roles) in _cast().items():
            self.stdout.write(f"  {username:<10} {name:<22} {'; '.join(roles)}")
        self.stdout.write("All other invented students have the same password.\n\n")

    def _serve(self, port: int) -> None:
        environment = dict(os.environ)
        if settings.HTTPS:
            # The demonstration is for this machine only, where there is no certificate.
            environment["PLUMBSHADOW_HTTPS"] = "no"
        self.stdout.write(f"Open http://127.0.0.1:{port}/ (Ctrl-C stops it).")
        self.stdout.flush()
        arguments = ["-m", "gunicorn", "--bind", f"127.0.0.1:{port}", "--workers", "2"]
        arguments += ["--chdir", str(settings.BASE_DIR), "coursework.wsgi:application"]
        os.execve(sys.executable, [sys.executable, *arguments], environment)


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
