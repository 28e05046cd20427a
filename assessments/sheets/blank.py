"""The blank sheet for the field: a place to write for each thing that is recorded.

Rows are tall and boxes large, to be filled in with a soft pencil and gloves on.
"""

from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing, Line, Rect
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether

from assessments.sheets import fonts, said
from assessments.sheets.attempt_drawing import attempt_drawing
from assessments.sheets.contents import SkillSheet
from assessments.sheets.drawing_words import drawing_description, drawing_title
from assessments.sheets.layout import Composer
from assessments.sheets.shapes import grey, text
from assessments.sheets.tagging import Facts, Figure
from coursework.models.methods import is_by_stars, is_travel
from coursework.wording import said_of

ROW = 10.5 * mm
BOX = 5.5 * mm
_POINTS = ("shadow-tip", "first-last", "equal-shadow", "shortest-shadow")

Field = tuple[str, tuple[str, ...], str]
"""Label; choices to tick, none where something is to be written; unit after the line."""


def parts(sheet: SkillSheet, composer: Composer) -> list[Flowable]:
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
    sentence = said.standard_sentence(sheet.standard)
    made += composer.section(_("Standard"), composer.paragraph(sentence))
    made += composer.cautions(sheet.method)
    if sheet.steps:
        steps = [(step, False) for step in sheet.steps]
        made += composer.section(
            _("Performance steps"), composer.steps(steps, size=BOX, to_tick=True)
        )
    made.append(_group(composer, _("Observed, local time"), method_fields(sheet.method)))
    if is_travel(sheet.method):
        made.append(_group(composer, _("Conditions"), condition_fields()))
        return made + _sketch(sheet, composer)
    made += [
        _group(composer, _("Check"), check_fields()),
        _group(composer, _("Conditions"), condition_fields()),
    ]
    rose = attempt_drawing(None, width=composer.width, height=92 * mm)
    by_stars = is_by_stars(sheet.method)
    note = composer.paragraph(
        _("Draw the line laid and where the stars stood.")
        if by_stars
        else _(
            "Draw stick, marks, shadows and the line laid. Dotted rings are a quarter, half and "
            "three quarters of the way out: one ring = ________ stick lengths."
        ),
        "small",
    )
    to_draw_on = Figure(rose, f"{drawing_title({})}. {drawing_description({}, '')}")
    title = _("Seen from above, true north up")
    made.append(KeepTogether(composer.section(title, note, to_draw_on)))
    return made


def _sketch(sheet: SkillSheet, composer: Composer) -> list[Flowable]:
    """Squares to draw the ground on, where there is more than one place to it."""
    if sheet.method not in ("compass-leg", "position"):
        return []
    note = composer.paragraph(_("North up. One square = ________ m."), "small")
    made = Drawing(composer.width, 75 * mm)
    step = 5 * mm
    for n in range(int(composer.width / step) + 1):
        made.add(Line(n * step, 0, n * step, 15 * step, strokeColor=grey(0.7), strokeWidth=0.3))
    across = int(composer.width / step) * step
    for n in range(16):
        made.add(Line(0, n * step, across, n * step, strokeColor=grey(0.7), strokeWidth=0.3))
    squares = Figure(made, _("Empty squares to draw the ground on"))
    return [KeepTogether(composer.section(_("Sketch"), note, squares))]


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
        "pole-star": [(_("Sighted at"), (), "")],
        "southern-cross": [(_("Sighted at"), (), "")],
        "pace-count": [
            (_("Done at"), (), ""),
            (_("Paces counted"), (), ""),
            (_("Paces for 100 m"), (), ""),
            (_("Distance measured"), (), "m"),
            (_("Known to, standard uncertainty"), (_("%"), _("m")), " "),
        ],
        "distance": [
            (_("Done at"), (), ""),
            (_("Distance told"), (), "m"),
            (_("Distance measured"), (), "m"),
            (_("Known to, standard uncertainty"), (_("%"), _("m")), " "),
        ],
        "compass-leg": [
            (_("Done at"), (), ""),
            (_("Bearing asked for, true"), (), "°"),
            (_("Starting point"), (), ""),
            (_("Goal"), (), ""),
            (_("Arrival"), (), ""),
            (_("Arrival known to, standard uncertainty"), (), "m"),
        ],
        "position": [
            (_("Done at"), (), ""),
            (_("Plotted point"), (), ""),
            (_("True point"), (), ""),
            (_("True point known to, standard uncertainty"), (), "m"),
        ],
        "checklist": [(_("Done at"), (), "")],
    }[method]
    if is_travel(method):
        return fields
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


def _fields(composer: Composer, fields: list[Field]) -> Facts:
    """Two fields a row; one with four choices takes a row of its own."""
    rows: list[list] = []
    spans = []
    waiting: list = []
    half = composer.width / 2
    label_width, space = half * 0.36, half * 0.64
    for label, choices, unit in fields:
        wide = len(choices) > 2
        room = composer.width - label_width if wide else space
        cell = [composer.cell(label, "label"), _space(room, choices, unit)]
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
    table = Facts(
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


def _space(room: float, choices: tuple[str, ...], unit: str) -> Figure:
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
    return Figure(made, _space_words(choices, unit.strip()))


def _space_words(choices: tuple[str, ...], unit: str) -> str:
    """What is to be written or ticked there."""
    empty = said_of(_("to write in"), unit) if unit else _("to write in")
    if not choices:
        return empty
    ticked = said_of(_("to tick"), ", ".join(choices))
    return f"{empty}; {ticked}" if unit else ticked
