"""The blank sheet for the field: a place to write for each thing that is recorded.

Rows are tall and boxes large, to be filled in with a soft pencil and gloves on.
"""

from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing, Rect
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, Table

from assessments.sheets import fonts, words
from assessments.sheets.attempt_drawing import attempt_drawing
from assessments.sheets.contents import SkillSheet
from assessments.sheets.layout import Composer
from assessments.sheets.shapes import text

ROW = 10.5 * mm
BOX = 5.5 * mm
_POINTS = ("shadow-tip", "first-last", "equal-shadow", "shortest-shadow")

Field = tuple[str, tuple[str, ...], str]
"""Label; choices to tick, none where something is to be written; unit after the line."""


def parts(sheet: SkillSheet, composer: Composer) -> list[Flowable]:
    standard = sheet.standard
    made: list[Flowable] = [
        _fields(
            composer,
            [
                (_("Student"), (), ""),
                (_("Assessor"), (), ""),
                (_("Site"), (), ""),
                (_("Date"), (), ""),
            ],
        )
    ]
    made += composer.section(_("Task"), composer.paragraph(sheet.task or "–"))
    sentence = words.standard_sentence(
        target_deg=standard.target_deg,
        tolerance_deg=standard.tolerance_deg,
        judged_on=standard.judged_on,
        rule=standard.rule,
        attempts_needed=standard.attempts_needed,
    )
    made += composer.section(_("Standard"), composer.paragraph(sentence))
    made += composer.cautions(sheet.method)
    if sheet.steps:
        steps = [(step, False) for step in sheet.steps]
        made += composer.section(_("Performance steps"), composer.steps(steps, size=BOX))
    made += [
        _group(composer, _("Observed, local time"), method_fields(sheet.method)),
        _group(composer, _("Check"), check_fields()),
        _group(composer, _("Conditions"), condition_fields()),
    ]
    rose = attempt_drawing(None, width=composer.width, height=92 * mm)
    note = composer.paragraph(
        _(
            "Draw stick, marks, shadows and the line laid. Dotted rings are a quarter, half and "
            "three quarters of the way out: one ring = ________ stick lengths."
        ),
        "small",
    )
    made.append(KeepTogether(composer.section(_("Seen from above, true north up"), note, rose)))
    return made


def method_fields(method: str) -> list[Field]:
    """What is recorded for a method, each a field to fill in."""
    fields: list[Field] = {
        "shadow-tip": [
            (_("Mark %(number)s at") % {"number": number}, (), "") for number in (1, 2, 3, 4)
        ],
        "first-last": [(_("Last shadow at"), (), ""), (_("First shadow at"), (), "")],
        "equal-shadow": [(_("Forenoon mark at"), (), ""), (_("Afternoon mark at"), (), "")],
        "shortest-shadow": [(_("Shortest shadow at"), (), "")],
        "hands": [
            (_("Counted at"), (), ""),
            (_("Hands counted"), (), ""),
            (_("A hand covers"), (), "°"),
            (_("Rule, a hand"), (), "°"),
            (_("Half of the day"), (_("forenoon"), _("afternoon")), ""),
        ],
        "watch": [(_("Time shown"), (), ""), (_("Summer time"), (_("yes"), _("no")), "")],
    }[method]
    if method in _POINTS:
        fields = [*fields, (_("Stick"), (), "m"), (_("Marks set to"), (), "mm")]
    declared = (_("Correction declared before the check"), (_("left"), _("right")), "°")
    return [*fields, declared]


def check_fields() -> list[Field]:
    """What is recorded of the check, whichever is used."""
    return [
        (_("Checked by"), (_("compass"), _("shadow"), _("mark"), _("true bearing")), ""),
        (_("Reading or angle clockwise"), (), "°"),
        (_("Check made at"), (), ""),
        (_("Instrument"), (), ""),
        (_("Instrument correction"), (_("left"), _("right")), "°"),
        (_("Reference mark"), (), ""),
        (_("True bearing of the mark"), (), "°"),
    ]


def condition_fields() -> list[Field]:
    return [(_("Sky"), (), ""), (_("Ground"), (), ""), (_("Remark"), (), ""), ("", (), "")]


def _group(composer: Composer, title: str, fields: list[Field]) -> Flowable:
    return KeepTogether(composer.section(title, _fields(composer, fields)))


def _fields(composer: Composer, fields: list[Field]) -> Table:
    """Two fields a row; one with four choices takes a row of its own."""
    rows: list[list] = []
    spans = []
    waiting: list = []
    half = composer.width / 2
    label_width, space = half * 0.36, half * 0.64
    for label, choices, unit in fields:
        wide = len(choices) > 2
        room = composer.width - label_width if wide else space
        cell = [composer.paragraph(label, "label"), _space(room, choices, unit)]
        if wide:
            rows.append([*cell, "", ""])
            spans.append(("SPAN", (1, len(rows) - 1), (3, len(rows) - 1)))
        elif waiting:
            rows.append([*waiting, *cell])
            waiting = []
        else:
            waiting = cell
    if waiting:
        rows.append([*waiting, "", ""])
    table = Table(
        rows,
        colWidths=[label_width, space] * 2,
        rowHeights=[ROW] * len(rows),
        hAlign="LEFT",
        spaceAfter=3,
    )
    table.setStyle(
        [
            ("GRID", (0, 0), (-1, -1), 0.6, black),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("LEFTPADDING", (0, 0), (-1, -1), 3),
            ("RIGHTPADDING", (0, 0), (-1, -1), 3),
            ("TOPPADDING", (0, 0), (-1, -1), 0),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            *spans,
        ]
    )
    return table


def _space(room: float, choices: tuple[str, ...], unit: str) -> Drawing:
    """Empty room with boxes to tick, and the unit at its end."""
    made = Drawing(room - 6, BOX + 2)
    middle = BOX / 2 - 2.4
    end = made.width - (fonts.text_width(unit, 10) + 2 if unit else 0)
    if unit:
        made.add(text((end + 2, middle), unit, "unit", size=10))
    # With a unit there is something to write first: the boxes stand at the end of the line.
    widths = [BOX + 4 + fonts.text_width(choice, 9) + 8 for choice in choices]
    x = end - sum(widths) if unit else 0.0
    for choice, width in zip(choices, widths, strict=True):
        made.add(Rect(x + 0.5, 1, BOX, BOX, fillColor=None, strokeColor=black, strokeWidth=0.9))
        made.add(text((x + BOX + 4, middle), choice, "choice", size=9))
        x += width
    return made
