"""Reading a roster: a CSV file of people with their roles, checked row by row.

Pure: nothing is looked up or stored here. What cannot be read at all is one clear refusal;
what is wrong with a row stands at the row.
"""

import csv
import re
from collections import Counter
from dataclasses import dataclass

from django.contrib.auth.validators import UnicodeUsernameValidator
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coursework.csv_files import FileError, rows_of, text_of
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
    """The rows of a CSV file with a line of column names; FileError where it is none.

    UTF-8, with or without a byte-order mark. Separated by commas, semicolons or tabs, whichever
    makes known columns of the first line. Columns: name; username or email (either is the
    sign-in name); role, where a blank one is student.
    """
    text = text_of(content, most_bytes=LARGEST_BYTES)
    separator = _separator(next(line for line in text.splitlines() if line.strip()))
    lines = rows_of(text, separator=separator, most_rows=MOST_ROWS, name_of=_column)
    _line, names = next(lines)
    _check_names(names)
    rows = tuple(_row(line, names, cells) for line, cells in lines)
    unused = tuple(name for name in names if name and name not in COLUMNS)
    return Roster(rows=rows, separator=separator, unused=unused)


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
        raise FileError(
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
        raise FileError(_("The column “%s” is there twice.") % twice[0])
    if "name" not in meanings:
        raise FileError(_("The column “name” is missing."))
    if not {"username", "email"} & set(meanings):
        raise FileError(_("A column “username” or “email” is missing: people sign in with it."))


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
