"""A season of paper logs: a file of mixed attempts read, scored and written by the command."""

import csv
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.sun import scalar_pysolar_s
from tests.benchmarks.timing import best_of, run_measured, short, show_table
from tests.reference.mixed_rows import COLUMNS, mixed_rows


def file_of_attempts() -> None:
    """A school's file, from some forty places with a skyline; then each row with its own."""
    _file_of_attempts(skylines=40)
    _file_of_attempts(skylines=None)


def _file_of_attempts(*, skylines: int | None, count: int = 100_000) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rows = mixed_rows(count, seed=count, skylines=skylines)
        with (folder / "in.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, COLUMNS)
            writer.writeheader()
            writer.writerows(rows)
        command = [sys.executable, "manage.py", "score_file"]
        command += [str(folder / "in.csv"), str(folder / "out.csv")]
        environment = {"PLUMBSHADOW_DATA": str(folder), "PLUMBSHADOW_HTTPS": "no"}
        runs = [run_measured(command, environment) for _ in range(2)]
        seconds, memory, status = min(runs)
        with (folder / "out.csv").open(encoding="utf-8", newline="") as file:
            problems = sum(bool(row["problem"]) for row in csv.DictReader(file))
        scalar = min(scalar_pysolar_s() for _ in range(2))
    limit = count * scalar
    places = f"{skylines} skylines" if skylines else "a skyline of its own for every third row"
    show_table(
        f"score_file: {count} mixed attempts read, scored and written, {places}",
        ("", ""),
        [
            ("wall time, best of two", short(seconds)),
            ("one scalar pysolar call an attempt", short(limit)),
            ("share of it", f"{seconds / limit:.2f}"),
            ("peak memory", f"{memory:.0f} MB"),
            ("rows with a problem, and exit status", f"{problems}, {status}"),
        ],
    )


def one_attempt() -> None:
    from solar.scoring import score

    rows = [row for row in mixed_rows(300, seed=1, mistakes=0.0) if row["check"] == "compass"]
    tables = [{column: [row[column]] for column in COLUMNS} for row in rows]

    def work():
        for table in tables:
            score(table)

    spent = best_of(work, times=3) / len(tables)
    show_table(
        "One attempt scored, as a form does it", ("", ""), [("score() of one row", short(spent))]
    )
