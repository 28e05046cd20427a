"""A CSV file that someone chose: its text, and its rows below one line of column names.

Pure. What cannot be read at all is one clear refusal, a FileError; what is wrong with a row is for
whoever reads the rows.
"""

import csv
import io
from collections.abc import Callable, Iterator

from django.utils.translation import gettext as _


class FileError(ValueError):
    """A file that cannot be read as what it should be; the message says why in a sentence."""


def text_of(content: bytes, *, most_bytes: int) -> str:
    """The text of a UTF-8 file, with or without a byte-order mark, that has any."""
    if len(content) > most_bytes:
        raise FileError(_("The file is larger than %d kB.") % (most_bytes // 1024))
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FileError(_("The file is UTF-16. Save it as “CSV UTF-8” and choose it again."))
    if content.startswith(b"PK\x03\x04"):
        raise FileError(_("This is a spreadsheet or an archive. Save the sheet as “CSV UTF-8”."))
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise FileError(
            _("Line %d is not UTF-8, so names would be garbled. Save the file as “CSV UTF-8”.")
            % line
        ) from error
    if "\0" in text:
        raise FileError(_("The file holds characters that no text has. Is it a CSV file?"))
    if not text.strip():
        raise FileError(_("The file is empty."))
    return text


def rows_of(
    text: str, *, separator: str, most_rows: int, name_of: Callable[[str], str] = str.strip
) -> Iterator[tuple[int, list[str]]]:
    """Each line that is not blank as the number of its first line and its cells (RFC 4180).

    The first one holds the column names, as `name_of` makes them of its cells; a file with nothing
    below it, or more than `most_rows`, is refused.
    """
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    line, number = 1, -1
    try:
        for cells in reader:
            started, line = line, reader.line_num + 1
            if not any(cell.strip() for cell in cells):
                continue
            number += 1
            if number > most_rows:
                raise FileError(_("The file has more than %d rows.") % most_rows)
            yield started, cells if number else [name_of(cell) for cell in cells]
    except csv.Error as error:
        raise FileError(
            _("Line %d cannot be read: a quotation mark is open or stands in the wrong place.")
            % reader.line_num
        ) from error
    if number < 1:
        raise FileError(_("The file has no row below its column names."))
