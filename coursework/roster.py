"""Reading a roster: a CSV file of people with their roles, checked row by row.

Pure: nothing is looked up or stored here. What cannot be read at all is one clear refusal;
what is wrong with a row stands at the row.
"""

import csv
import io
import re
from collections import Counter
from dataclasses import dataclass

from django.contrib.auth.validators import UnicodeUsernameValidator
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coursework.models import Person, Role

LARGEST_BYTES = 256 * 1024
MOST_ROWS = 500
SEPARATORS = {
    ",": gettext_lazy("commas"),
    ";": gettext_lazy("semicolons"),
    "\t": gettext_lazy("tabs"),
}
# What a column may be called, capitals aside.
COLUMNS = {
    "name": "name",
    "username": "username",
    "sign-in name": "username",
    "email": "email",
    "e-mail": "email",
    "role": "role",
}
ROLES = {role.value: role.value for role in Role} | {
    "course lead": Role.LEAD.value,
    "assistant instructor": Role.ASSISTANT.value,
    "": Role.STUDENT.value,
}
LONGEST_NAME = Person._meta.get_field("name").max_length
LONGEST_USERNAME = Person._meta.get_field("username").max_length


class RosterError(ValueError):
    """A file that cannot be read as a roster; the message is a sentence that says why."""


@dataclass(frozen=True, kw_only=True)
class RosterRow:
    """One person in one role as the file says it. `line` is the row's first line in the file."""

    line: int
    name: str
    username: str
    email: str
    role: str
    faults: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Roster:
    rows: tuple[RosterRow, ...]
    separator: str
    unused: tuple[str, ...] = ()
    """Columns that the file has and that are not used."""


def read_roster(content: bytes) -> Roster:
    """The rows of a CSV file with a line of column names; RosterError where it is none.

    UTF-8, with or without a byte-order mark. Separated by commas, semicolons or tabs, whichever
    makes known columns of the first line. Columns: name; username or email (either is the
    sign-in name); role, where a blank one is student.
    """
    text = _decoded(content)
    first = next((line for line in text.splitlines() if line.strip()), "")
    if not first:
        raise RosterError(_("The file is empty."))
    separator = _separator(first)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[RosterRow] = []
    names: list[str] = []
    line = 1
    try:
        for cells in reader:
            started, line = line, reader.line_num + 1
            if not any(cell.strip() for cell in cells):
                continue
            if not names:
                names = [_column(cell) for cell in cells]
                _check_names(names)
                continue
            if len(rows) == MOST_ROWS:
                raise RosterError(_("The file has more than %d rows of people.") % MOST_ROWS)
            rows.append(_row(started, names, cells))
    except csv.Error as error:
        raise RosterError(
            _("Line %d cannot be read: a quotation mark is open or stands in the wrong place.")
            % reader.line_num
        ) from error
    if not rows:
        raise RosterError(_("The file has column names and no one below them."))
    unused = tuple(name for name in names if name and name not in COLUMNS)
    return Roster(rows=tuple(rows), separator=separator, unused=unused)


def _decoded(content: bytes) -> str:
    if len(content) > LARGEST_BYTES:
        raise RosterError(
            _("The file is larger than %d kB, more than a roster needs.") % (LARGEST_BYTES // 1024)
        )
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise RosterError(_("The file is UTF-16. Save it as “CSV UTF-8” and choose it again."))
    if content.startswith(b"PK\x03\x04"):
        raise RosterError(_("This is a spreadsheet or an archive. Save the sheet as “CSV UTF-8”."))
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise RosterError(
            _("Line %d is not UTF-8, so names would be garbled. Save the file as “CSV UTF-8”.")
            % line
        ) from error
    if "\0" in text:
        raise RosterError(_("The file holds characters that no text has. Is it a CSV file?"))
    return text


def _column(cell: str) -> str:
    return re.sub(r"\s+", " ", cell).strip().casefold()


def _separator(first: str) -> str:
    """The one that makes the most known columns of the first line."""
    known = {}
    for separator in SEPARATORS:
        try:
            cells = next(csv.reader([first], delimiter=separator, strict=True))
        except csv.Error:
            cells = first.split(separator)
        known[separator] = sum(_column(cell) in COLUMNS for cell in cells)
    most = max(known.values())
    best = [separator for separator, number in known.items() if number == most]
    if most < 2 or len(best) > 1:
        raise RosterError(
            _(
                "The first line must name the columns, separated by commas, semicolons or tabs: "
                "name, username or email, and role. It reads “%s”."
            )
            % first[:80]
        )
    return best[0]


def _check_names(names: list[str]) -> None:
    meanings = Counter(COLUMNS[name] for name in names if name in COLUMNS)
    if twice := [name for name, number in meanings.items() if number > 1]:
        raise RosterError(_("The column “%s” is there twice.") % twice[0])
    if "name" not in meanings:
        raise RosterError(_("The column “name” is missing."))
    if not {"username", "email"} & set(meanings):
        raise RosterError(_("A column “username” or “email” is missing: people sign in with it."))


def _row(line: int, names: list[str], cells: list[str]) -> RosterRow:
    faults = []
    if len(cells) > len(names) and any(cell.strip() for cell in cells[len(names) :]):
        faults.append(
            _("It has %(cells)d cells, and there are %(names)d columns.")
            % {"cells": len(cells), "names": len(names)}
        )
    said = {
        COLUMNS[name]: re.sub(r"\s+", " ", cell).strip()
        for name, cell in zip(names, cells, strict=False)
        if name in COLUMNS
    }
    name, email = said.get("name", ""), said.get("email", "")
    username = Person.normalize_username(said.get("username", "") or email)
    role = ROLES.get(said.get("role", "").casefold(), "")
    faults += _faults(name, username, email)
    if not role:
        faults.append(
            _("“%(word)s” is no role; the roles are %(roles)s.")
            % {"word": said["role"], "roles": ", ".join(Role.values)}
        )
    return RosterRow(
        line=line, name=name, username=username, email=email, role=role, faults=tuple(faults)
    )


def _faults(name: str, username: str, email: str) -> list[str]:
    faults = []
    if not name:
        faults.append(_("The name is missing."))
    elif len(name) > LONGEST_NAME:
        faults.append(_("The name has more than %d characters.") % LONGEST_NAME)
    elif not name.isprintable():
        faults.append(_("The name holds characters that cannot be printed."))
    if not username:
        faults.append(_("A sign-in name or an e-mail address is missing."))
    elif len(username) > LONGEST_USERNAME:
        faults.append(_("The sign-in name has more than %d characters.") % LONGEST_USERNAME)
    else:
        try:
            UnicodeUsernameValidator()(username)
        except ValidationError:
            faults.append(
                _("“%s” is no sign-in name: letters, digits and @ . + - _ only.") % username
            )
    if email:
        try:
            validate_email(email)
        except ValidationError:
            faults.append(_("“%s” is no e-mail address.") % email)
    return faults
