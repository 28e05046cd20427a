"""The run sheet of a day: read at arm's length, in black and white, out of doors."""

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import pgettext
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether

from assessments.sheets import fonts
from assessments.sheets.layout import Composer, ruled
from assessments.sheets.tagging import Paragraph
from coursework import cautions
from coursework.wording import date_format, in_one_line, said_of


def _style(name: str, size: float, *, bold: bool = False, **more) -> ParagraphStyle:
    face = fonts.BOLD if bold else fonts.REGULAR
    return ParagraphStyle(
        name,
        fontName=face,
        fontSize=size,
        bulletFontName=face,
        bulletFontSize=size,
        leading=size * 1.22,
        **more,
    )


# Twelve points and more: some 4 mm of height, read at arm's length (common practice).
_TEXT = _style("run-text", 12, spaceAfter=2)
_BOLD = _style("run-bold", 12, bold=True)
_UNDER = _style("run-under", 12, bold=True, spaceBefore=6, spaceAfter=2, keepWithNext=1, kind="H3")
_TIME = _style("run-time", 15, bold=True)
_HEAD = _style("run-head", 16, bold=True, spaceBefore=9, spaceAfter=2, keepWithNext=1, kind="H2")
_SIDE = _style("run-side", 10.5, bold=True)
_ITEM = _style("run-item", 12, leftIndent=13, bulletIndent=1, spaceAfter=1.5, kind="LI")


@dataclass(frozen=True, kw_only=True)
class Moment:
    """A moment of a drill; error and scatter blank where the method has none."""

    name: str
    time: str
    sun: str
    error: str = ""
    scatter: str = ""


@dataclass(frozen=True, kw_only=True)
class RunDrill:
    """Times are those of the site, with their zone; `students` with its number."""

    begins: str
    ends: str
    exercise: str
    site: str
    cohort: str
    lead: str = ""
    assistants: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    students: str = ""
    counts: bool = True
    cancelled: str = ""
    decision: str = ""
    check: str = ""
    wet_plan: str = ""
    kit: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    moments: tuple[Moment, ...] = ()
    tolerance: str = ""
    wants_wrong_hours: bool = False
    exceptions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class RunSite:
    name: str
    positions: tuple[tuple[str, str], ...]
    sun: str
    skyline_counts: bool = False
    rally: str = ""
    safe_heading: str = ""
    hazards: str = ""
    emergency: str = ""
    lost_steps: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class RunSheet:
    school: str
    day: date
    drills: tuple[RunDrill, ...]
    sites: tuple[RunSite, ...]
    cautions: tuple[str, ...]
    emergency_number: str = ""
    nearest_help: str = ""
    printed: str = ""


def render_pdf(sheet: RunSheet, *, paper: str = "a4") -> bytes:
    """The sheet as PDF on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = Composer(paper)
    day = date_format(sheet.day, "l j F Y")
    title = _("Run sheet: %(day)s") % {"day": day}
    story: list[Flowable] = [
        composer.paragraph(title, "title"),
        composer.paragraph(sheet.school, "under-title"),
        _overview(sheet, composer),
        *_call(sheet, composer),
    ]
    for drill in sheet.drills:
        story += _drill(drill, composer)
    for site in sheet.sites:
        story += _site(site, composer)
    story += _first_steps(sheet, composer)
    return composer.pdf(
        story, title=title, author=sheet.school, footer=sheet.printed, subject=_("Run sheet")
    )


def _said(composer: Composer, text: str, style: ParagraphStyle = _TEXT) -> Paragraph:
    return Paragraph(composer.markup(text), style)


def _items(composer: Composer, texts) -> list[Flowable]:
    return [Paragraph(composer.markup(text), _ITEM, bulletText="•") for text in texts]


def _pairs(composer: Composer, pairs) -> Flowable:
    """Labels with values, one below the other; pairs without a value are left out."""
    rows = [
        [_said(composer, label, _SIDE), _said(composer, value)] for label, value in pairs if value
    ]
    return ruled(rows, [composer.width * 0.2, composer.width * 0.8])


def _overview(sheet: RunSheet, composer: Composer) -> Flowable:
    heads = (_("Time"), _("What"), _("Where"), _("Who"))
    rows = [[_said(composer, head, _SIDE) for head in heads]]
    for drill in sheet.drills:
        what = [_said(composer, drill.exercise, _BOLD)]
        what.append(_said(composer, ", ".join(drill.groups) or drill.cohort))
        if drill.cancelled:
            what.append(_said(composer, drill.cancelled, _BOLD))
        who = [_said(composer, drill.lead or _("nobody named to lead"), _BOLD)]
        if drill.assistants:
            who.append(_said(composer, ", ".join(drill.assistants)))
        time = [_said(composer, drill.begins, _TIME), _said(composer, drill.ends)]
        rows.append([time, what, _said(composer, drill.site), who])
    return ruled(rows, [composer.width * part for part in (0.2, 0.34, 0.22, 0.24)], header=True)


def _call(sheet: RunSheet, composer: Composer) -> list[Flowable]:
    number = sheet.emergency_number or _("not entered by the school: write it here")
    lines = [_said(composer, _("In an emergency call: %(number)s") % {"number": number}, _TIME)]
    if sheet.nearest_help:
        nearest = _("Nearest help: %(where)s") % {"where": sheet.nearest_help}
        lines.append(_said(composer, nearest))
    local = _("Local rules, licensed practice and whoever is in charge on the day come first.")
    return [composer.boxed(*lines, _said(composer, local))]


def _drill(drill: RunDrill, composer: Composer) -> list[Flowable]:
    title = f"{drill.begins} – {drill.ends}  {drill.exercise}"
    taken = ", ".join([*drill.groups, drill.cohort, drill.students])
    if not drill.counts:
        taken = in_one_line([taken, _("practice, results do not count")])
    facts = _pairs(
        composer,
        [
            (_("Where"), drill.site),
            (_("Lead"), drill.lead or _("nobody named")),
            (_("Assistants"), ", ".join(drill.assistants)),
            (_("Taken out"), taken),
            (_("Go or stay"), drill.cancelled or drill.decision),
            (_("Lines checked by"), drill.check),
            (_("In wet weather"), drill.wet_plan),
        ],
    )
    found: list[Flowable] = [KeepTogether([_said(composer, title, _HEAD), facts])]
    if drill.moments:
        found.append(KeepTogether(_moments(drill, composer)))
    if drill.kit:
        kit = [(line, False) for line in drill.kit]
        found.append(
            KeepTogether(
                [_said(composer, _("Kit"), _UNDER), composer.steps(kit, size=12.0, to_tick=True)]
            )
        )
    if notes := [*drill.cautions, *drill.exceptions]:
        found.append(
            KeepTogether([_said(composer, _("Take care"), _UNDER), *_items(composer, notes)])
        )
    return found


def _moments(drill: RunDrill, composer: Composer) -> list[Flowable]:
    with_error = any(moment.error for moment in drill.moments)
    heads = ["", _("Time"), _("Sun, true")]
    widths = [0.16, 0.2, 0.28]
    if with_error:
        heads += [_("Method error expected"), _("Marking scatter")]
        widths += [0.2, 0.16]
    rows = [[_said(composer, head, _SIDE) if head else [] for head in heads]]
    for moment in drill.moments:
        parts = [moment.name, moment.time, moment.sun]
        if with_error:
            parts += [moment.error, moment.scatter or "–"]
        rows.append(
            [_said(composer, part, _BOLD if n in (0, 3) else _TEXT) for n, part in enumerate(parts)]
        )
    found: list[Flowable] = [ruled(rows, [composer.width * w for w in widths], header=True)]
    if with_error:
        told = _(
            "What a flawless line begun then would be off by; the standard allows %(tolerance)s."
        )
        if drill.wants_wrong_hours:
            told = _(
                "What a flawless line begun then would be off by; the standard allows "
                "%(tolerance)s. To go beyond it is the purpose here: the drill teaches the limits "
                "of the method."
            )
        found.append(_said(composer, told % {"tolerance": drill.tolerance}))
    return found


def _site(site: RunSite, composer: Composer) -> list[Flowable]:
    over = _("over the recorded skyline") if site.skyline_counts else _("over a flat horizon")
    nothing = _("nothing entered")
    pairs = [
        (pgettext("in the sky", "Sun"), f"{site.sun} ({over})"),
        (_("Position"), "\n".join(said_of(name, text) for name, text in site.positions)),
        (_("Rally point"), site.rally or nothing),
        (_("Safe heading"), site.safe_heading or nothing),
        (_("Hazards"), site.hazards or nothing),
        (_("Emergency notes"), site.emergency),
    ]
    # The heading keeps to the first line; the others may go on over the page.
    found: list[Flowable] = [
        KeepTogether([_said(composer, site.name, _HEAD), _pairs(composer, pairs[:1])]),
        _pairs(composer, pairs[1:]),
    ]
    if site.lost_steps:
        title = _("Someone who is lost there")
        found.append(
            KeepTogether([_said(composer, title, _UNDER), *_items(composer, site.lost_steps)])
        )
    return found


def _first_steps(sheet: RunSheet, composer: Composer) -> list[Flowable]:
    parts = [
        (_("Someone is missing"), cautions.lost_person_steps()),
        (_("Lightning"), [cautions.lightning_rule()]),
        (_("Heat"), [cautions.heat_rule()]),
        (_("Cautions"), sheet.cautions),
    ]
    return [
        KeepTogether([_said(composer, title, _HEAD), *_items(composer, texts)])
        for title, texts in parts
    ]
