"""Score a file of attempts: `manage.py score_file IN.csv OUT.csv`."""

import sys
from pathlib import Path

from django.core.management.base import BaseCommand

from solar.batch import UnusableFileError, score_file


class Command(BaseCommand):
    help = (
        "Scores every row of a CSV file of attempts and writes it with the added columns. "
        "Exit status 0: all scored; 1: some rows had problems; 2: the file is unusable."
    )
    requires_system_checks = ()

    def add_arguments(self, parser) -> None:
        parser.add_argument("source", metavar="IN.csv", type=Path)
        parser.add_argument("destination", metavar="OUT.csv", type=Path)

    def handle(self, *, source: Path, destination: Path, **options) -> None:
        try:
            outcome = score_file(source, destination)
        except UnusableFileError as error:
            self._unusable(f"{source}: {error}")
        except OSError as error:
            reason = f"{error.filename}: {error.strerror}." if error.strerror else str(error)
            self._unusable(reason)
        if outcome.problems:
            self.stderr.write(
                f"{outcome.problems} of {outcome.rows} rows could not be scored; "
                "the column problem says why."
            )
            sys.exit(1)

    def _unusable(self, reason: str) -> None:
        self.stderr.write(f"{reason} Nothing was written.")
        sys.exit(2)
