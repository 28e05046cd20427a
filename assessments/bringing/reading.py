"""Reading a file of attempts: CSV with the columns of the batch format and who each is of.

Pure: nothing is looked up or stored here. What cannot be read at all is one clear refusal;
what is wrong with a row stands at the row.
"""

import csv
import io
from dataclasses import dataclass

from django.utils.translation import gettext as _

from assessments.observations import OBSERVED_COLUMNS, SETTING_COLUMNS

LARGEST_BYTES = 1024 * 1024
MOST_ROWS = 1000
LONGEST_CELL = 20_000
WHO = ("student", "username", "name")
WRITTEN = ("no_result", "sky", "ground", "remark")
KNOWN = ("attempt", *WHO, *SETTING_COLUMNS, *OBSERVED_COLUMNS, *WRITTEN)


class FileError(ValueError):
    """A file that cannot be read as one of attempts; the message says why in a sentence."""


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
    reader = csv.reader(io.StringIO(_decoded(content), newline=""), strict=True)
    rows: list[AttemptRow] = []
    names: list[str] = []
    line = 1
    try:
        for cells in reader:
            started, line = line, reader.line_num + 1
            if not any(cell.strip() for cell in cells):
                continue
            if not names:
                names = [cell.strip() for cell in cells]
                _check_names(names)
                continue
            if len(rows) == MOST_ROWS:
                raise FileError(_("The file has more than %d rows.") % MOST_ROWS)
            rows.append(_row(started, names, cells))
    except csv.Error as error:
        raise FileError(
            _("Line %d cannot be read: a quotation mark is open or stands in the wrong place.")
            % reader.line_num
        ) from error
    if not rows:
        raise FileError(_("The file has no row below its column names."))
    unused = tuple(name for name in names if name and name not in KNOWN)
    return AttemptFile(rows=_without_doubles(rows), unused=unused)


def _decoded(content: bytes) -> str:
    if len(content) > LARGEST_BYTES:
        raise FileError(_("The file is larger than %d kB.") % (LARGEST_BYTES // 1024))
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(_("The file is not UTF-8 text. Save it as “CSV UTF-8”.")) from error
    if "\0" in text:
        raise FileError(_("The file holds characters that no text has. Is it a CSV file?"))
    if not text.strip():
        raise FileError(_("The file is empty."))
    return text


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
