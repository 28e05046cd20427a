"""The sun card on paper: lines can be checked by it with no compass and no telephone."""

import math
from datetime import datetime

from django.utils.translation import gettext as _
from reportlab.lib.colors import black
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether

from assessments.sheets import fonts, north_words, words
from assessments.sheets.layout import STYLES, Composer, ruled
from assessments.sheets.north_diagram import north_diagram
from assessments.sheets.place_words import coordinates
from assessments.sheets.shadow_rose import shadow_rose
from assessments.sheets.shapes import scaled
from assessments.sheets.sun_card import SunCard, card_of, north_from_shadow_deg
from assessments.sheets.tagging import Figure, LayoutTable, Paragraph, Table
from coursework.templatetags.coursework import zone_abbreviation
from coursework.wording import date_format, fixed, said_of
from solar.daylight import Day
from solar.suntable import SunRow

__all__ = ["SunCard", "card_of", "render_pdf"]

ROWS_A_SIDE = 34
LONGEST = 20.0
_CELL = ParagraphStyle("card-cell", parent=STYLES["body"], fontSize=10, leading=11.2, spaceAfter=0)
_HEAD = ParagraphStyle("card-head", parent=_CELL, fontName=fonts.BOLD, fontSize=9, leading=10.5)
_BOLD = ParagraphStyle("card-bold", parent=_CELL, fontName=fonts.BOLD)
_GAP = 12.0
_BESIDE = 3.5
"""Points that a cell keeps beside its words."""
_ROSE, _NORTHS = 196.0, 250.0
"""Widths: a card of a long day has both on its second page, with the cautions below."""
_TIGHT = [("TOPPADDING", (0, 1), (-1, -1), 0.4), ("BOTTOMPADDING", (0, 1), (-1, -1), 1.9)]


def render_pdf(card: SunCard, *, paper: str = "a4") -> bytes:
    """The card as PDF on `paper` ("a4" or "letter", upright); ValueError for another paper."""
    composer = Composer(paper)
    title = _("Sun card: %(site)s, %(day)s") % {"site": card.site, "day": _day(card)}
    return composer.pdf(_story(card, composer), title=title, author=card.school, footer="")


def _story(card: SunCard, composer: Composer) -> list[Flowable]:
    place = _("%(where)s, %(metres)s m above the sea; skyline %(skyline)s") % {
        "where": coordinates(card),
        "metres": f"{card.elevation_m:.0f}",
        "skyline": card.skyline,
    }
    clock = _("Times are those of %(zone)s (%(names)s); bearings are true.") % {
        "zone": card.zone,
        "names": ", ".join(dict.fromkeys(zone_abbreviation(t) for t in _times(card))),
    }
    return [
        composer.paragraph(card.site, "title"),
        composer.paragraph(_("Sun card for %(day)s") % {"day": _day(card)}, "under-title"),
        composer.paragraph(f"{place}. {clock}"),
        composer.boxed(composer.paragraph(_sun_words(card.sun), "verdict")),
        *_table(card, composer),
        *_use(card, composer),
        *_roses(card, composer),
        *_methods(card, composer),
        *composer.cautions("hands"),
    ]


def _times(card: SunCard) -> list[datetime]:
    return [row.time for row in card.rows] or [card.sun.noon]


def _day(card: SunCard) -> str:
    return date_format(card.date, "l j F Y")


def _sun_words(sun: Day) -> str:
    if sun.state == "down all day":
        return _("The sun stays below the skyline all day.")
    noon = _("highest at %(time)s") % {"time": _clock(sun.noon)}
    if sun.state == "up all day":
        return _("The sun is up all day, %(noon)s.") % {"noon": noon}
    rises = ", ".join(map(_clock, sun.rises)) or _("not on this date")
    sets = ", ".join(map(_clock, sun.sets)) or _("not on this date")
    return _("Sun over the skyline: up %(rises)s, %(noon)s, down %(sets)s.") % {
        "rises": rises,
        "noon": noon,
        "sets": sets,
    }


def _clock(time: datetime) -> str:
    return f"{time:%H:%M} {zone_abbreviation(time)}"


def _table(card: SunCard, composer: Composer) -> list[Flowable]:
    if not card.rows:
        words_ = _("The sun stays down all day: there are no shadows on this date.")
        return [composer.paragraph(words_)]
    found: list[Flowable] = composer.section(
        _("Sun and shadow every %(minutes)s minutes") % {"minutes": 15}
    )
    rows = list(card.rows)
    a_side = _rows_a_side(card, composer)
    for begin in range(0, len(rows), 2 * a_side):
        part = rows[begin : begin + 2 * a_side]
        half = -(-len(part) // 2)
        sides = [_side(card, some, composer) for some in (part[:half], part[half:]) if some]
        table = LayoutTable(
            [sides],
            colWidths=[composer.width / 2] * len(sides),
            hAlign="LEFT",
        )
        table.setStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                *[(f"{side}PADDING", (0, 0), (-1, -1), 0) for side in ("LEFT", "RIGHT", "TOP")],
            ]
        )
        found.append(table)
    return found


def _rows_a_side(card: SunCard, composer: Composer) -> int:
    """As many as stand on one page, which are fewer where words are too long for one line."""
    rows, room = list(card.rows[: 2 * ROWS_A_SIDE]), composer.height - 2 * _GAP
    fit = min(ROWS_A_SIDE, -(-len(rows) // 2))
    while fit > 1 and any(
        _side(card, some, composer).wrap(composer.width, room)[1] > room
        for some in (rows[:fit], rows[fit : 2 * fit])
        if some
    ):
        fit -= 1
    return fit if fit < -(-len(rows) // 2) else ROWS_A_SIDE


def _heads() -> tuple[str, ...]:
    heads = (_("Time"), _("Sun at"), _("Shadow points to"), _("Shadow, sticks"))
    return (*heads, _("From shadow to north, turn"))


def _widths(said: list[list[str]], width: float) -> list[float]:
    """Each column as wide as its longest words; what is left over is shared."""
    heads = [max(fonts.text_width(w, 9, fonts.BOLD) for w in head.split()) for head in _heads()]
    longest = [
        max(head, *(fonts.text_width(parts[n], 10, fonts.BOLD if n == 0 else fonts.REGULAR)
                    for parts in said)) + _BESIDE
        for n, head in enumerate(heads)
    ]  # fmt: skip
    scale = width / sum(longest)
    return [part * scale for part in longest]


def _side(card: SunCard, rows: list[SunRow], composer: Composer) -> Table:
    width = composer.width / 2 - _GAP / 2
    said = [_parts(card, row) for row in rows]
    cells = [[Paragraph(head, _HEAD) for head in _heads()]]
    cells += [
        [_cell(part, composer, bold=n == 0) for n, part in enumerate(parts)] for parts in said
    ]
    table = ruled(cells, _widths(said, width), header=True)
    # Every whole hour is underlined, to find one's line at arm's length.
    marks = [
        ("LINEABOVE", (0, n), (-1, n), 1.0, black)
        for n, row in enumerate(rows, start=1)
        if row.time.minute == 0
    ]
    table.setStyle(
        [
            *_TIGHT,
            ("RIGHTPADDING", (0, 0), (-1, -1), 1),
            *marks,
        ]
    )
    return table


def _cell(said: str, composer: Composer, *, bold: bool = False) -> Paragraph:
    return Paragraph(composer.markup(said), _BOLD if bold else _CELL)


def _parts(card: SunCard, row: SunRow) -> list[str]:
    """One line of the table."""
    time = f"{row.time:%H:%M}"
    if card.clock_changes:
        time = f"{time} {zone_abbreviation(row.time)}"
    azimuth = words.bearing(row.azimuth_deg)
    if not math.isfinite(row.shadow_bearing_deg):
        return [time, azimuth, _("hidden"), "–", "–"]
    length = fixed(row.shadow_length, 2) if row.shadow_length <= LONGEST else _("over 20")
    bearing = words.bearing(row.shadow_bearing_deg)
    return [time, azimuth, bearing, length, _sided(north_from_shadow_deg(row))]


def _use(card: SunCard, composer: Composer) -> list[Flowable]:
    clear = _(
        "Computed for a clear sky and the skyline on record. Nothing of the weather is foretold; "
        "trees and slopes that are not on record hide the sun as well."
    )
    if not card.rows:
        return [composer.paragraph(clear)]
    return composer.section(
        _("To check a line"),
        *composer.items(
            [
                _(
                    "Hang a plumb line (a stone on a string) over level ground and wait "
                    "until it hangs still. Note the time; between two lines of the table "
                    "take the part that has gone by."
                ),
                _(
                    "Measure the angle clockwise from its shadow to the line that was "
                    "laid. Shadow bearing plus angle is the true bearing of the line; "
                    "take 360° away where it is more."
                ),
                _(
                    "To lay true north, turn from the shadow by the last column. Four "
                    "minutes on the clock are about a degree of shadow, near noon in "
                    "summer two degrees and more."
                ),
                clear,
            ]
        ),
    )


def _roses(card: SunCard, composer: Composer) -> list[Flowable]:
    """Shadows by the hour, and the norths of the map and the compass, side by side."""
    norths = Figure(scaled(north_diagram(card.norths), _NORTHS), _norths_words(card))
    drawings, widths = [norths], [composer.width - _ROSE]
    title, said = _("The three norths"), []
    if card.rows:
        title = _("Shadow by the hour, and the three norths")
        drawings.insert(0, Figure(shadow_rose(card.rows, side=_ROSE), _rose_words(card)))
        widths.insert(0, _ROSE)
        said.append(
            _(
                "Lay the card level with its line of the hour along the shadow: its top is true "
                "north."
            )
        )
    table = LayoutTable([drawings], colWidths=widths, hAlign="LEFT")
    table.setStyle([("VALIGN", (0, 0), (-1, -1), "MIDDLE"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])
    angles = [said_of(label, value) for label, value in north_words.angle_rows(card.norths)]
    under = [". ".join(angles) + ".", *north_words.warnings(card.norths)]
    parts = [*map(composer.paragraph, said), table, *map(composer.paragraph, under)]
    return [KeepTogether(composer.section(title, *parts))]


def _norths_words(card: SunCard) -> str:
    return ". ".join([_("True, grid and magnetic north"), north_words.described(card.norths)])


def _rose_words(card: SunCard) -> str:
    hours = [row for row in card.rows if row.time.minute == 0 and math.isfinite(row.shadow_length)]
    said = [said_of(f"{row.time:%H:%M}", words.bearing(row.shadow_bearing_deg)) for row in hours]
    return ". ".join([_("Where the shadow points, north up"), "; ".join(said)])


def _methods(card: SunCard, composer: Composer) -> list[Flowable]:
    if not card.hours:
        return []
    heads = [_("Start"), *card.methods]
    cells = [[Paragraph(words.capital(head), _HEAD) for head in heads]]
    for hour in card.hours:
        time = f"{hour.time:%H:%M}"
        if card.clock_changes:
            time = f"{time} {zone_abbreviation(hour.time)}"
        errors = ["–" if e is None else _sided(e) for e in hour.errors_deg]
        cells.append([_cell(part, composer, bold=n == 0) for n, part in enumerate([time, *errors])])
    first = composer.width * (0.16 if card.clock_changes else 0.1)
    widths = [first] + [(composer.width - first) / len(card.methods)] * len(card.methods)
    note = _(
        "What a flawless line would be off by when started then, shadow-tip marks 15 minutes "
        "apart. A dash: the method cannot be used then."
    )
    table = ruled(cells, widths, header=True)
    table.setStyle(_TIGHT)
    heading = _("Method errors by the hour")
    return [
        CondPageBreak(160.0),
        *composer.section(heading, composer.paragraph(note), table),
    ]


def _sided(value: float) -> str:
    """An angle with its side, short: '17.7° left'."""
    side, size = words.side(value), words.degrees(abs(value))
    return f"{size} {side}" if side else size
