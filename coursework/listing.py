"""Lists as files: CSV that a spreadsheet opens as text and numbers, and never as formulas."""

import csv
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime
from typing import Any

from django.http import HttpRequest, StreamingHttpResponse
from django.utils.text import slugify

STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")
ASKED = "csv"
"""The value of `as` in the address of a list that asks for it as a file."""

Column = tuple[str, Callable[[Any], Any]]
"""The heading of a column, and what stands in it for a row."""


def wants_csv(request: HttpRequest) -> bool:
    return request.GET.get("as") == ASKED


def csv_response(name: str, columns: Sequence[Column], rows: Iterable) -> StreamingHttpResponse:
    """The whole list as a file, sent row by row as it is read."""
    return StreamingHttpResponse(
        csv_lines(columns, rows),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{slugify(name) or "list"}.csv"'},
    )


def csv_lines(columns: Sequence[Column], rows: Iterable) -> Iterator[str]:
    """Lines of RFC 4180, the headings first."""
    writer = csv.writer(_Echo())
    yield writer.writerow([cell(str(heading)) for heading, _value in columns])
    for row in rows:
        yield writer.writerow([cell(value(row)) for _heading, value in columns])


def cell(value: Any) -> str:
    """A value as text; an apostrophe before what a spreadsheet would run as a formula.

    Numbers stay numbers, negative ones too; instants are ISO 8601 with their offset.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip(".")
    if isinstance(value, int):
        return str(value)
    if isinstance(value, datetime):
        return value.isoformat(timespec="seconds")
    if isinstance(value, date):
        return value.isoformat()
    text = str(value)
    return f"'{text}" if text.startswith(STARTS_A_FORMULA) else text


class _Echo:
    """A file for `csv.writer` that gives back each line instead of keeping it."""

    def write(self, line: str) -> str:
        return line
