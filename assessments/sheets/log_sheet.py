"""The log sheet of a drill: a line a student to write on, and the day's sun on its back.

Rows are tall, to be filled in with a soft pencil and gloves on. What is declared before the
check stands before it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _
from reportlab.graphics.barcode.qr import QrCodeWidget
from reportlab.graphics.shapes import Drawing
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, PageBreak

from assessments.sheets import words
from assessments.sheets.blank import ROW
from assessments.sheets.layout import Composer
from assessments.sheets.pages import missing_note
from assessments.sheets.shapes import grey
from assessments.sheets.tagging import Facts, Figure, LayoutTable, Register, Table
from coursework.models.methods import is_travel
from coursework.wording import date_format, fixed, in_one_line, said_of
from solar.daylight import Day
from solar.suntable import SunRow

SPARE_ROWS = 3
MOST_SUN_ROWS = 40
_CODE = 30 * mm
_NAME = 42 * mm


@dataclass(frozen=True, kw_only=True)
class LogSheet:
    """What stands on it. Times on the clock of the site; `sun` is None for a skipped date."""

    exercise: str
    method: str
    method_name: str
    task: str
    standard: str
    school: str
    cohort: str
    site: str
    zone: str
    starts_at: datetime
    ends_at: datetime
    assessed: bool
    # The name of each student, and the group or groups that they are in.
    students: Sequence[tuple[str, str]]
    address: str
    sun: Day | None
    sun_rows: Sequence[SunRow]


def render_pdf(sheet: LogSheet, *, paper: str = "a4") -> bytes:
    """The sheet as PDF on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = Composer(paper)
    title = _("Log sheet: %(exercise)s") % {"exercise": sheet.exercise}
    front = [_head(sheet, composer, title), *_before(sheet, composer), _lines(sheet, composer)]
    back = [PageBreak(), *_back(sheet, composer)]
    story = [*missing_note(composer), *front, *back]
    return composer.pdf(
        story, title=title, author=sheet.school, footer=sheet.site, subject=_("Log sheet")
    )


def columns_of(method: str) -> list[str]:
    """What is written in the line of a student, in the order in which it is done."""
    marks = {
        "shadow-tip": [_("Mark 1 at"), _("Mark 2 at"), _("Mark 3 at")],
        "first-last": [_("Last shadow at"), _("First shadow at")],
        "equal-shadow": [_("Forenoon mark at"), _("Afternoon mark at")],
        "shortest-shadow": [_("Shortest shadow at")],
        "hands": [_("Counted at"), _("Hands"), _("A hand covers °")],
        "watch": [_("Time shown")],
        "pole-star": [_("Sighted at")],
        "southern-cross": [_("Sighted at")],
        "pace-count": [_("Done at"), _("Paces"), _("Paces for 100 m"), _("Measured m")],
        "distance": [_("Done at"), _("Told m"), _("Measured m")],
        "compass-leg": [_("Done at"), _("Arrival")],
        "position": [_("Done at"), _("Plotted point")],
        "checklist": [_("Done at"), _("Steps not met")],
    }[method]
    if is_travel(method):
        return [*marks, _("No result, remark")]
    return [
        *marks,
        _declared(),
        _("Check read °"),
        _("Check at"),
        _("No result, remark"),
    ]


def _declared() -> str:
    return _("Declared correction, left or right °")


def _head(sheet: LogSheet, composer: Composer, title: str) -> LayoutTable:
    when = _("%(day)s, %(start)s – %(end)s %(zone)s") % {
        "day": date_format(sheet.starts_at, "j F Y"),
        "start": f"{sheet.starts_at:%H:%M}",
        "end": f"{sheet.ends_at:%H:%M}",
        "zone": f"{sheet.starts_at:%Z}",
    }
    counts = _("assessed") if sheet.assessed else _("practice: results do not count")
    left = [
        composer.paragraph(title, "title"),
        composer.paragraph(" · ".join([words.capital(sheet.method_name), sheet.site, when])),
        composer.paragraph(" · ".join([sheet.cohort, sheet.school, counts])),
        composer.paragraph(sheet.standard, "small"),
    ]
    right = [_code(sheet.address), composer.paragraph(_("opens the log page"), "small")]
    table = LayoutTable([[left, right]], colWidths=[composer.width - _CODE - 8, _CODE + 8])
    table.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (0, 0), 0)])
    return table


def _code(address: str) -> Figure:
    made = Drawing(_CODE, _CODE)
    widget = QrCodeWidget(address, barLevel="M")
    widget.barWidth = widget.barHeight = _CODE
    made.add(widget)
    return Figure(made, _("Code that leads to %s") % address)


def _before(sheet: LogSheet, composer: Composer) -> list[Flowable]:
    said = [_("Assessor"), _("Sky"), _("Ground")]
    if not is_travel(sheet.method):
        said += [_("Checked with"), _("Instrument or mark"), _("Stick, marks")]
    cells = [composer.paragraph(word, "label") for word in said]
    rows = [
        [part for word in cells[n : n + 3] for part in (word, "")] for n in range(0, len(cells), 3)
    ]
    third = composer.width / 3
    table = Facts(
        rows,
        colWidths=[third * 0.32, third * 0.68] * 3,
        rowHeights=[8.5 * mm] * len(rows),
        spaceBefore=4,
        spaceAfter=4,
    )
    table.setStyle([("GRID", (0, 0), (-1, -1), 0.5, black), *_tight()])
    sentence = _("Write what was declared before you read the check. Never look at the sun.")
    if is_travel(sheet.method):
        sentence = _("Who gave up or was stopped is a line too, with the reason.")
    return [table, composer.paragraph(sentence, "small")]


def _lines(sheet: LogSheet, composer: Composer) -> Table:
    header = [_("Student"), *columns_of(sheet.method)]
    # A remark takes the room of two, a correction with its side half as much again.
    shares = [1.5 if word == _declared() else 1.0 for word in header[1:-1]] + [2.0]
    part = (composer.width - _NAME) / sum(shares)
    widths = [_NAME, *[part * share for share in shares]]
    rows = [[composer.paragraph(word, "label") for word in header]]
    rows += [
        [_named(name, group, composer), *[""] * (len(header) - 1)] for name, group in sheet.students
    ]
    rows += [[""] * len(header)] * SPARE_ROWS
    table = Register(
        rows,
        colWidths=widths,
        rowHeights=[None, *[ROW] * (len(rows) - 1)],
        repeatRows=1,
        hAlign="LEFT",
        spaceBefore=3,
    )
    table.setStyle(
        [
            ("GRID", (0, 0), (-1, -1), 0.6, black),
            ("BACKGROUND", (0, 0), (-1, 0), grey(0.92)),
            *_tight(),
        ]
    )
    return table


def _named(name: str, group: str, composer: Composer) -> list[Flowable]:
    shown = [composer.paragraph(name, "body")]
    return [*shown, composer.paragraph(group, "small")] if group else shown


def _back(sheet: LogSheet, composer: Composer) -> list[Flowable]:
    title = _("The sun at %(site)s, %(day)s") % {
        "site": sheet.site,
        "day": date_format(sheet.starts_at, "j F Y"),
    }
    parts: list[Flowable] = [composer.paragraph(title, "title")]
    if sheet.assessed:
        warning = _("For the instructor: it would answer the drill, so students do not see it.")
        parts.append(composer.boxed(composer.paragraph(warning, "body")))
    if sheet.sun is None:
        return [*parts, composer.paragraph(_("The calendar of this place skips that date."))]
    parts.append(composer.paragraph(_sun_words(sheet)))
    lines = [
        [
            f"{row.time:%H:%M %Z}",
            f"{fixed(row.azimuth_deg):0>5}°",
            f"{fixed(row.elevation_deg)}°",
            f"{fixed(row.shadow_bearing_deg):0>5}°",
            fixed(row.shadow_length, 2),
        ]
        for row in sheet.sun_rows
    ]
    if lines:
        header = [
            _("Time"),
            _("Sun, true bearing"),
            _("Height"),
            _("Shadow points to, true"),
            _("Shadow, stick lengths"),
        ]
        parts.append(composer.table(header, lines, [20, 20, 16, 22, 22]))
    return parts


def _sun_words(sheet: LogSheet) -> str:
    sun = sheet.sun
    said = []
    for name, moments in ((_("up"), sun.rises), (_("highest"), [sun.noon]), (_("down"), sun.sets)):
        if moments:
            said.append(f"{name} {', '.join(f'{moment:%H:%M}' for moment in moments)}")
    state = {"up all day": _("The sun is up all day"), "down all day": _("The sun is down all day")}
    start = state.get(sun.state, _("The sun over the recorded skyline"))
    return f"{said_of(start, in_one_line(said))} ({sheet.zone})."


def _tight() -> list[tuple]:
    return [
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
    ]
