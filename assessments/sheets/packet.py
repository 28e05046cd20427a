"""A certification packet on paper; the certificate has what ISO/IEC 17024:2012 asks of one."""

from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from reportlab.graphics.shapes import Drawing, Path
from reportlab.lib.colors import black
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, PageBreak, Spacer

from assessments.sheets import fonts, pages, record_sheet
from assessments.sheets.cautions import cautions
from assessments.sheets.layout import Composer, Mark
from assessments.sheets.packet_contents import PacketSheet, SkillPart
from assessments.sheets.said import closeness_sentence
from assessments.sheets.tagging import Figure, LayoutTable, Paragraph
from coursework.qr import qr_code
from coursework.records_language import in_records_language
from coursework.wording import date_format, said_of

_QR = 34 * mm


def _style(name: str, size: float, **more) -> ParagraphStyle:
    return ParagraphStyle(name, fontName=fonts.BOLD, fontSize=size, leading=size * 1.25, **more)


_COVER = _style("cover", 27, spaceAfter=6, kind="H1")
_HOLDER = _style("holder", 24, spaceBefore=5)


@in_records_language()
def render_pdf(sheet: PacketSheet, *, paper: str = "a4") -> bytes:
    """The packet as PDF on `paper`, without a signature; ValueError for another paper."""
    composer = Composer(paper)
    parts: list[tuple[str, list[Flowable]]] = [
        (_("Certificate"), _certificate(sheet, composer)),
        (_("Summary of skills"), _summary(sheet, composer)),
    ]
    parts += [(part.title, _skill(part, composer)) for part in sheet.skills]
    parts += [
        (_("Error history"), _history(sheet, composer)),
        (_("Standards and rule in full"), _rule(sheet, composer)),
        (_("Cautions and scope"), _scope(sheet, composer)),
        (_("Signatures"), _signatures(sheet, composer)),
    ]
    story = [Mark(_("Cover")), *_cover(sheet, composer, [title for title, _parts in parts])]
    for title, flowables in parts:
        story += [PageBreak(), Mark(title), *flowables]
    return composer.pdf(
        story,
        title=_("%(title)s: certification packet") % {"title": sheet.title},
        author=sheet.school,
        subject=_("Certification packet %(number)s of %(holder)s")
        % {"number": sheet.number, "holder": sheet.holder},
        footer=f"{sheet.holder} · {sheet.number}",
        made_at=sheet.issued_at,
    )


def _day(day) -> str:
    return date_format(day, "j F Y")


def _big(composer: Composer, text: str, style: ParagraphStyle) -> Paragraph:
    return Paragraph(composer.markup(text), style)


def _cover(sheet: PacketSheet, composer: Composer, titles: list[str]) -> list[Flowable]:
    return [
        composer.paragraph(sheet.school, "under-title"),
        Spacer(1, 40 * mm),
        composer.paragraph(_("Certification packet"), "under-title"),
        _big(composer, sheet.title, _COVER),
        _big(composer, sheet.holder, _HOLDER),
        Spacer(1, 14 * mm),
        composer.facts(
            [
                (_("Number"), sheet.number),
                (_("Issued"), _day(sheet.issued_on)),
                (_("Last day it holds"), _day(sheet.expires_on)),
                (_("Issued by"), sheet.issuer),
            ],
            columns=1,
            label_part=0.25,
        ),
        *composer.section(_("In this packet"), *composer.items(titles)),
        *pages.missing_note(composer),
    ]


def _certificate(sheet: PacketSheet, composer: Composer) -> list[Flowable]:
    said = {"school": sheet.school, "title": sheet.title, "version": sheet.version}
    scheme = _("%(title)s, version %(version)s") % said
    if sheet.published_on is not None:
        scheme += ", " + _("published %s") % _day(sheet.published_on)
    facts = composer.facts(
        [
            (_("Name of the certified person"), sheet.holder),
            (_("Number of the certificate"), sheet.number),
            (_("Certification body"), sheet.school),
            (_("Certification scheme"), scheme),
            (_("In force from"), _day(sheet.issued_on)),
            (_("Last day it holds"), _day(sheet.expires_on)),
            (_("Decided by"), sheet.issuer),
        ],
        columns=1,
        label_part=0.3,
    )
    check = [
        composer.paragraph(_("To check it"), "label"),
        composer.paragraph(
            _(
                "Follow the code, or open the address and give the number. It says whether this "
                "certificate is valid, expired or withdrawn; the name of the holder is shown to "
                "whoever gives the family name as well."
            ),
            "small",
        ),
        composer.paragraph(sheet.check_address, "small"),
        composer.paragraph(
            _(
                "The file carries the school’s electronic signature: a reader of PDF files shows "
                "whether anything in it was changed. A print of it is a copy."
            ),
            "small",
        ),
    ]
    beside = LayoutTable(
        [[_code(sheet.check_address), check]], colWidths=[_QR + 12, composer.width - _QR - 12]
    )
    beside.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])
    shown = [f"{part.title}" for part in sheet.skills]
    return [
        composer.paragraph(_("Certificate"), "title"),
        composer.paragraph(sheet.school, "under-title"),
        composer.paragraph(_("certifies that"), "body"),
        _big(composer, sheet.holder, _HOLDER),
        Spacer(1, 5),
        composer.paragraph(_("has shown the skills of “%(title)s”:") % said, "body"),
        *composer.items(shown),
        *composer.section(_("Scope"), composer.paragraph(sheet.scope)),
        composer.paragraph(certifies()),
        Spacer(1, 4),
        facts,
        Spacer(1, 8),
        beside,
        KeepTogether([Spacer(1, 20), _lines(composer, [(sheet.issuer, sheet.issued_on)])]),
    ]


def certifies() -> str:
    return _(
        "This certifies what was demonstrated: at the places, days and hours in this packet, by "
        "the methods named there. It is no licence. Local rules and licensed practice come first."
    )


def _code(address: str) -> Figure:
    code = qr_code(address)
    square = _QR / code.size
    dark = Path(fillColor=black, strokeColor=None)
    for column, row, length in code.runs:
        x, y, width = column * square, _QR - row * square, length * square
        dark.moveTo(x, y)
        dark.lineTo(x + width, y)
        dark.lineTo(x + width, y - square)
        dark.lineTo(x, y - square)
        dark.closePath()
    made = Drawing(_QR, _QR)
    made.add(dark)
    return Figure(made, _("Code that leads to %s") % address)


def _summary(sheet: PacketSheet, composer: Composer) -> list[Flowable]:
    header = [_("Skill"), _("Within"), _("Assessed"), _("Checked by"), _("Signed off")]
    rows = [
        [
            part.title,
            str(part.counted),
            str(part.assessed),
            ", ".join(part.assessors),
            f"{part.signer}, {date_format(part.signed_at, 'j F Y')}",
        ]
        for part in sheet.skills
    ]
    note = _(
        "“Within” are the attempts within the standard on which the decision rests; “assessed” "
        "are all assessed attempts at the skill, whatever came of them. Each is printed behind."
    )
    return [
        composer.paragraph(_("Summary of skills"), "title"),
        composer.table(header, rows, [30, 9, 11, 25, 25]),
        composer.paragraph(note, "small"),
        *_flags(sheet, composer),
    ]


def _flags(sheet: PacketSheet, composer: Composer) -> list[Flowable]:
    flagged = [part for part in sheet.skills if part.flags_accepted]
    if not flagged:
        return []
    said = [f"{said_of(part.title, part.flags_accepted)} ({part.signer})" for part in flagged]
    note = _(
        "Lines that were within the standard only because the method’s error cancelled a larger "
        "one of the student’s were accepted by a course lead, for this reason:"
    )
    return composer.section(
        _("Looked at by a lead"), composer.paragraph(note), *composer.items(said)
    )


def _skill(part: SkillPart, composer: Composer) -> list[Flowable]:
    met = composer.steps(part.clauses)
    signed = _("Signed off by %(name)s on %(when)s.") % {
        "name": part.signer,
        "when": date_format(part.signed_at, "j F Y, H:i"),
    }
    decided = composer.section(
        _("What the rule asks, and what was shown"),
        met,
        composer.paragraph(signed),
        Spacer(1, 5),
    )
    # Behind title and kind, before all that it rests on.
    story = pages.story_of(part.sheet, composer)
    return [*story[:2], KeepTogether(decided), *story[2:]]


def _history(sheet: PacketSheet, composer: Composer) -> list[Flowable]:
    record = sheet.record
    title = composer.paragraph(_("Error history"), "title")
    if not record.points:
        return [title, composer.paragraph(_("No line has been laid under an instructor’s eyes."))]
    note = ngettext(
        "%(number)s line checked by an instructor, as it stood on the day of issue. Errors to the "
        "right (clockwise) are positive. Times by the clock of each site.",
        "The newest %(number)s lines checked by an instructor, as they stood on the day of issue. "
        "Errors to the right (clockwise) are positive. Times by the clock of each site.",
        len(record.lines),
    ) % {"number": len(record.lines)}
    return [title, composer.paragraph(note), *record_sheet.story_of(composer, record)]


def _rule(sheet: PacketSheet, composer: Composer) -> list[Flowable]:
    story: list[Flowable] = [
        composer.paragraph(_("Standards and rule in full"), "title"),
        composer.paragraph(
            _("%(title)s, version %(version)s. %(validity)s %(renewal)s")
            % {
                "title": sheet.title,
                "version": sheet.version,
                "validity": sheet.validity,
                "renewal": sheet.renewal,
            }
        ),
        *composer.section(_("How attempts are counted"), *composer.items(_counting())),
    ]
    for part in sheet.skills:
        standard = composer.items([closeness_sentence(part.sheet.standard), *part.rule])
        story.append(KeepTogether(composer.section(part.title, *standard)))
    return story


def _counting() -> list[str]:
    return [
        _("Only assessed attempts count; practice never does."),
        _("The rule looks at the newest attempts only, so that unlimited tries certify no one."),
        _(
            "An attempt that is too close to call counts neither way; a course lead may order one "
            "repeat of it. So does one without a result for cloud or safety. Giving up counts as "
            "an attempt that was not within."
        ),
        _(
            "A line within the standard only because the method’s error cancelled a larger one of "
            "the student’s is looked at by a course lead, unless the correction was declared."
        ),
        _("Nobody signs for themselves, and whoever issues is not the only assessor."),
    ]


def _scope(sheet: PacketSheet, composer: Composer) -> list[Flowable]:
    said = dict.fromkeys(
        caution for part in sheet.skills for caution in cautions(part.sheet.method)
    )
    return [
        composer.paragraph(_("Cautions and scope"), "title"),
        *composer.section(_("Scope"), composer.paragraph(sheet.scope)),
        composer.paragraph(certifies()),
        *composer.section(_("Cautions"), *composer.items(said)),
    ]


def _signatures(sheet: PacketSheet, composer: Composer) -> list[Flowable]:
    signers: dict[str, list[SkillPart]] = {}
    for part in sheet.skills:
        signers.setdefault(part.signer, []).append(part)
    story: list[Flowable] = [
        composer.paragraph(_("Signatures"), "title"),
        composer.paragraph(
            _(
                "Each decision is on record with person, time and evidence. The lines are for "
                "those who want it signed by hand as well."
            )
        ),
    ]
    for name, parts in signers.items():
        skills = composer.items(
            f"{part.title}, {date_format(part.signed_at, 'j F Y')}" for part in parts
        )
        last = max(part.signed_at for part in parts).date()
        story.append(
            KeepTogether(
                [
                    *composer.section(_("Assessor: %s") % name, *skills),
                    Spacer(1, 22),
                    _lines(composer, [(name, last)]),
                ]
            )
        )
    story.append(
        KeepTogether(
            [
                *composer.section(_("Course lead who issued the packet: %s") % sheet.issuer),
                Spacer(1, 22),
                _lines(composer, [(sheet.issuer, sheet.issued_on)]),
            ]
        )
    )
    return story


def _lines(composer: Composer, people: list[tuple[str, object]]) -> LayoutTable:
    """Lines to sign on, with the name and the day of the decision below."""
    rows, style = [], [("LEFTPADDING", (0, 0), (-1, -1), 0)]
    for number, (name, day) in enumerate(people):
        rows.append(
            [
                composer.paragraph(name, "small"),
                "",
                composer.paragraph(_("decided %s") % _day(day), "small"),
            ]
        )
        style += [("LINEABOVE", (n, number), (n, number), 0.8, "black") for n in (0, 2)]
    gap = 8 * mm
    wide = (composer.width - gap) * 0.6
    table = LayoutTable(rows, colWidths=[wide, gap, composer.width - gap - wide])
    table.setStyle(style)
    return table
