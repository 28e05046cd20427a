"""A file of attempts in, the same file with its scores out."""

import csv
import os
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from solar.columns import COLUMNS, REQUIRED
from solar.scoring import ADDED, Scores, score

_ROWS_AT_ONCE = 8_192
# A row of thousands of marks widens the arrays of every row that is scored beside it.
_MARKS_AT_ONCE = 8 * _ROWS_AT_ONCE
_LONGEST_CELL = 16_000_000
_DECIMALS = 3


class UnusableFileError(ValueError):
    """Nothing of the file can be scored; the message is a sentence for people."""


@dataclass(frozen=True)
class Outcome:
    """How many rows were read, and how many of them could not be scored."""

    rows: int
    problems: int


def score_file(source: Path, destination: Path) -> Outcome:
    """Score every row of a CSV file (UTF-8, RFC 4180) and write it with the added columns.

    UnusableFileError where a column is missing or doubled, the file is not text, or an attempt
    comes twice; OSError where it cannot be read or written. The destination appears whole or
    not at all; where it is a link, the file it leads to is replaced.
    """
    destination = destination.resolve()
    if destination.exists() and not destination.is_file():
        raise IsADirectoryError(f"{destination} is not a file that can be replaced.")
    if not destination.parent.is_dir():
        raise FileNotFoundError(f"There is no folder {destination.parent}.")
    descriptor, name = tempfile.mkstemp(prefix=".scores-", suffix=".csv", dir=destination.parent)
    unfinished = Path(name)
    try:
        with os.fdopen(descriptor, "w", encoding="utf-8", newline="") as target:
            outcome = _score_rows(source, target)
            target.flush()
            os.fsync(target.fileno())
        unfinished.chmod(0o666 & ~_umask())
        unfinished.replace(destination)
    finally:
        unfinished.unlink(missing_ok=True)
    return outcome


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _score_rows(source: Path, target) -> Outcome:
    usual_limit = csv.field_size_limit(_LONGEST_CELL)
    try:
        with source.open(encoding="utf-8-sig", newline="") as file:
            reader = csv.reader(file, strict=True)
            header = next(reader, [])
            layout = _Layout(_names(header))
            writer = csv.writer(target)
            writer.writerow([header[place] for place in layout.carried] + list(ADDED))
            rows = problems = 0
            seen: set[str] = set()
            for batch in _batches(reader, layout.places.get("times")):
                _refuse_doubles(batch, layout.places["attempt"], seen)
                lines, faulty = layout.score(batch)
                writer.writerows(lines)
                rows, problems = rows + len(lines), problems + faulty
    except UnicodeDecodeError as error:
        raise UnusableFileError("The file is not UTF-8 text.") from error
    except csv.Error as error:
        raise UnusableFileError(f"The file is not CSV as RFC 4180 has it: {error}.") from error
    finally:
        csv.field_size_limit(usual_limit)
    return Outcome(rows, problems)


def _names(header: list[str]) -> list[str]:
    """The names of the columns; blanks around a name in the header do not count."""
    names = [name.strip() for name in header]
    if any("\0" in name for name in names):
        raise UnusableFileError("The file is not text.")
    missing = [name for name in REQUIRED if name not in names]
    if missing:
        raise UnusableFileError(f"The header lacks: {', '.join(missing)}.")
    doubled = [name for name in COLUMNS if names.count(name) > 1]
    if doubled:
        raise UnusableFileError(f"The header has more than once: {', '.join(doubled)}.")
    return names


def _batches(reader: Iterable[list[str]], times_at: int | None) -> Iterator[list[list[str]]]:
    """Rows some thousands at a time, fewer where they have very many marks."""
    batch, most = [], 1
    for row in reader:
        if not row:  # a line with nothing on it is no row
            continue
        marks = 1
        if times_at is not None and times_at < len(row):
            marks += row[times_at].count(";")
        most = max(most, marks)
        if batch and (len(batch) == _ROWS_AT_ONCE or (len(batch) + 1) * most > _MARKS_AT_ONCE):
            yield batch
            batch, most = [], marks
        batch.append(row)
    if batch:
        yield batch


def _refuse_doubles(batch: list[list[str]], place: int, seen: set[str]) -> None:
    for row in batch:
        name = row[place].strip() if place < len(row) else ""
        if name in seen:
            raise UnusableFileError(f"The attempt “{name}” comes more than once.")
        if name:
            seen.add(name)


class _Layout:
    """Where the columns of one file stand."""

    def __init__(self, header: list[str]) -> None:
        self.width = len(header)
        self.carried = [place for place, name in enumerate(header) if name not in ADDED]
        self.places = {name: header.index(name) for name in COLUMNS if name in header}

    def score(self, batch: list[list[str]]) -> tuple[list[list[str]], int]:
        """The rows with their scores, and how many of them have problems."""
        whole = [row if len(row) == self.width else self._padded(row) for row in batch]
        scores = score({name: [row[at] for row in whole] for name, at in self.places.items()})
        added = [_printed(scores, name) for name in ADDED]
        problem = added[-1]
        for index, row in enumerate(batch):
            if len(row) != self.width:
                problem[index] = self._length_problem(row)
                for column in added[:-1]:
                    column[index] = ""
        lines = [
            [row[at] for at in self.carried] + list(more)
            for row, more in zip(whole, zip(*added, strict=True), strict=True)
        ]
        return lines, sum(1 for sentence in problem if sentence)

    def _padded(self, row: list[str]) -> list[str]:
        return (row + [""] * self.width)[: self.width]

    def _length_problem(self, row: list[str]) -> str:
        cells = f"The row has {len(row)} cells where the header has {self.width}"
        beyond = ", ".join(f"“{cell}”" for cell in row[self.width :])
        return f"{cells}; left out: {beyond}." if beyond else f"{cells}."


def _printed(scores: Scores, name: str) -> list[str]:
    values = scores.columns[name]
    if isinstance(values, list):
        return list(values)
    rounded = np.round(values, _DECIMALS) + 0.0  # adding 0 turns -0.0 into 0.0
    if name in ("laid_true_deg", "sun_azimuth_deg"):
        rounded[rounded >= 360.0] -= 360.0
    elif name not in ("sun_elevation_deg", "marking_scatter_deg", "expanded_uncertainty_deg"):
        rounded[rounded <= -180.0] += 360.0
    return ["" if value != value else f"{value:.{_DECIMALS}f}" for value in rounded.tolist()]
