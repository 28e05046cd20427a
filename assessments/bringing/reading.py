"""Reading a file of attempts: CSV with the columns of the batch format and who each is of.

Pure: nothing is looked up or stored here. What cannot be read at all is one clear refusal;
what is wrong with a row stands at the row.
"""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from assessments.observations import OBSERVED_COLUMNS, SETTING_COLUMNS
from coursework.csv_files import FileError, rows_of, text_of

LARGEST_BYTES = 1024 * 1024
MOST_ROWS = 1000
LONGEST_CELL = 20_000
WHO = ("student", "username", "name")
WRITTEN = ("no_result", "sky", "ground", "remark")
KNOWN = ("attempt", *WHO, *SETTING_COLUMNS, *OBSERVED_COLUMNS, *WRITTEN)


@dataclass(frozen=True, kw_only=True)
class AttemptRow:
    """One attempt as the file says it: column to text, blank where left out.

    `line` is the row's first line in the file.
    """

    line: int
    cells: dict[str, str]
    faults: tuple[str, ...] = ()

    def __getitem__(self, column: str) -> str:
        return self.cells.get(column, "")

    @property
    def who(self) -> str:
        return next((self[column] for column in WHO if self[column]), "")


@dataclass(frozen=True, kw_only=True)
class AttemptFile:
    rows: tuple[AttemptRow, ...]
    unused: tuple[str, ...] = ()
    """Columns that the file has and that are not used."""


def read_attempts(content: bytes) -> AttemptFile:
    """The rows of a CSV file (UTF-8, RFC 4180, a header); FileError where it is none."""
    text = text_of(content, most_bytes=LARGEST_BYTES)
    lines = rows_of(text, separator=",", most_rows=MOST_ROWS)
    _line, names = next(lines)
    _check_names(names)
    rows = [_row(line, names, cells) for line, cells in lines]
    unused = tuple(name for name in names if name and name not in KNOWN)
    return AttemptFile(rows=_without_doubles(rows), unused=unused)


def _check_names(names: list[str]) -> None:
    for name in KNOWN:
        if names.count(name) > 1:
            raise FileError(_("The column “%s” is there twice.") % name)
    if "attempt" not in names:
        raise FileError(
            _("The first line must name the columns, separated by commas; “attempt” is missing.")
        )
    if not set(WHO) & set(names):
        raise FileError(
            _("A column “student”, “username” or “name” is missing: whose attempt is it?")
        )


def _row(line: int, names: list[str], cells: list[str]) -> AttemptRow:
    said = {name: cell.strip() for name, cell in zip(names, cells, strict=False) if name in KNOWN}
    faults = []
    if len(cells) != len(names):
        faults.append(
            _("It has %(cells)d cells, and there are %(names)d columns.")
            % {"cells": len(cells), "names": len(names)}
        )
    if any(len(cell) > LONGEST_CELL for cell in cells):
        faults.append(_("A cell is longer than any result needs."))
    if not said.get("attempt"):
        faults.append(_("It has no attempt identifier."))
    return AttemptRow(line=line, cells=said, faults=tuple(faults))


def _without_doubles(rows: list[AttemptRow]) -> tuple[AttemptRow, ...]:
    seen: dict[str, int] = {}
    kept = []
    for row in rows:
        name = row["attempt"]
        if name and name in seen:
            fault = _("The attempt “%(name)s” stands in line %(line)d already.")
            fault %= {"name": name, "line": seen[name]}
            row = AttemptRow(line=row.line, cells=row.cells, faults=(*row.faults, fault))
        seen.setdefault(name, row.line)
        kept.append(row)
    return tuple(kept)
