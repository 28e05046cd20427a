"""A student's record on paper: findings, drawings, statistics, and the lines in figures."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether

from assessments.findings import Finding
from assessments.models import Attempt, Verdict
from assessments.records.charts import RecordCharts
from assessments.records.student import (
    Group,
    StudentRecord,
    length_words,
    mean_words,
    spread_words,
)
from assessments.sheets import travel_words, words
from assessments.sheets.layout import STYLES, Composer
from assessments.sheets.shapes import scaled
from assessments.sheets.tagging import Figure, LayoutTable, Paragraph
from coursework.models import Person
from coursework.wording import date_format, short_date

_HALF_GAP = 10.0
# Drawn for paper in this width, so that its lettering is still 8 points there.
_STRIP = 290.0
_ROOM, _DRAWN_ROOM = 110.0, 230.0


def render_pdf(
    student: Person,
    record: StudentRecord,
    others: list[tuple[str, list[Attempt]]],
    without: Sequence[Attempt] = (),
    *,
    paper: str = "a4",
) -> bytes:
    """The record as PDF on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = Composer(paper)
    title = _("Record of %(name)s") % {"name": student.name}
    story: list[Flowable] = [composer.paragraph(title, "title")]
    if record.points:
        first, last = record.points[0].local, record.points[-1].local
        story.append(
            composer.paragraph(
                ngettext(
                    "%(number)s line, %(first)s to %(last)s. Errors to the right (clockwise) are "
                    "positive. Times by the clock of each site.",
                    "%(number)s lines, %(first)s to %(last)s. Errors to the right (clockwise) are "
                    "positive. Times by the clock of each site.",
                    len(record.lines),
                )
                % {
                    "number": len(record.lines),
                    "first": date_format(first, "j F Y"),
                    "last": date_format(last, "j F Y"),
                }
            )
        )
        story += story_of(composer, record)
    elif not others and not without:
        story.append(composer.paragraph(_("No results yet.")))
    story += _others(composer, others)
    story += _without(composer, without)
    if record.points:
        story += composer.cautions("shadow-tip")
    school = student.school.name if student.school else ""
    return composer.pdf(
        story, title=title, author=school, footer=school, subject=_("Record of results")
    )


def story_of(composer: Composer, record: StudentRecord) -> list[Flowable]:
    """Findings, drawings, statistics and lines of a record that has any."""
    return [
        *_findings(composer, record),
        *_drawings(composer, record),
        *_statistics(composer, record),
        *_lines(composer, record),
    ]


def _findings(composer: Composer, record: StudentRecord) -> list[Flowable]:
    found = record.found
    parts: list[Flowable] = []
    for finding in found.findings:
        parts.append(KeepTogether(_finding(composer, finding)))
    if not parts:
        parts.append(
            composer.paragraph(
                _("Nothing stands out in these lines: no constant pull, no known slip.")
            )
        )
    if found.not_yet:
        parts += composer.items(note.says for note in found.not_yet)
    return composer.section(_("What to change next"), *parts)


def _finding(composer: Composer, finding: Finding) -> list[Flowable]:
    days = sorted({one.observed_at.date() for one in finding.rests_on})
    said = {
        "sure": finding.certainty.words,
        "number": len(finding.rests_on),
        "days": ", ".join(short_date(day, "j M Y") for day in days[-8:]),
    }
    sure = ngettext(
        "How sure: %(sure)s; rests on %(number)s attempt (%(days)s).",
        "How sure: %(sure)s; rests on %(number)s attempts (%(days)s).",
        len(finding.rests_on),
    )
    says = composer.paragraph(finding.says, "label")
    says.spaceBefore = 5.0
    return [
        says,
        composer.paragraph(finding.change),
        composer.paragraph(sure % said, "small"),
    ]


def _drawings(composer: Composer, record: StudentRecord) -> list[Flowable]:
    charts = RecordCharts(record)
    lines = _("Errors of each line in order of time. A table behind says the same in figures.")
    drawn = Figure(scaled(charts.history(), composer.width), lines)
    history = composer.section(_("Line by line"), drawn)
    half = composer.width / 2.0 - _HALF_GAP
    by = {
        one.name: [
            composer.paragraph(words.capital(one.title), "label"),
            Figure(scaled(one.drawing(_STRIP), half), one.said),
        ]
        for one in charts.grouped
    }
    rose = [
        composer.paragraph(_("Rose of own errors"), "label"),
        Figure(scaled(charts.rose(), half * 0.8), mean_words(record.all.own)),
    ]
    rows = [[rose, by["time"]], [by["method"], by["check"]], [by["site"], []]]
    table = LayoutTable(rows, colWidths=[composer.width / 2.0] * 2, hAlign="LEFT")
    table.setStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])
    return [
        KeepTogether(history),
        *_flowing(composer, _("Own error, parted"), table, room=_DRAWN_ROOM),
    ]


def _flowing(
    composer: Composer, title: str, *parts: Flowable, room: float = _ROOM
) -> list[Flowable]:
    """A section whose table may break over pages; its title is not left alone at a foot."""
    style = ParagraphStyle("flowing", parent=STYLES["section"], keepWithNext=0)
    return [CondPageBreak(room), Paragraph(composer.markup(title), style), *parts]


def _statistics(composer: Composer, record: StudentRecord) -> list[Flowable]:
    header = [
        "",
        _("Lines"),
        _("Mean own error"),
        _("Spread"),
        "R",
        _("End for end"),
    ]
    parted = [record.by_method, record.by_time, record.by_site, record.by_check]
    groups = [record.all, *(group for groups in parted for group in groups)]
    table = composer.table(header, [_row(group) for group in groups], [30, 8, 32, 11, 9, 10])
    note = _(
        "“Good to” is the 95 % interval of the mean direction, from five lines on. Spread is the "
        "circular standard deviation, R the mean resultant length. Lines laid end for end, about "
        "180° off, are counted apart and in no average."
    )
    return _flowing(
        composer,
        _("In figures"),
        table,
        composer.paragraph(note, "small"),
        composer.paragraph(record.trend_words),
    )


def _row(group: Group) -> list[str]:
    return [
        words.capital(group.name),
        str(len(group.sound)),
        mean_words(group.own),
        spread_words(group.own),
        length_words(group.own),
        str(group.swapped),
    ]


def _lines(composer: Composer, record: StudentRecord) -> list[Flowable]:
    header = [
        _("Observed"),
        _("Exercise"),
        _("Result"),
        _("Method’s part"),
        _("Own error"),
        _("Check"),
        _("Verdict"),
    ]
    rows = [
        [
            short_date(point.local, "j M Y H:i"),
            point.exercise if point.assessed else f"{point.exercise} ({_('practice')})",
            words.signed(point.error_deg),
            words.signed(point.method_error_deg),
            words.signed(point.own_error_deg),
            f"±{words.degrees(point.expanded_u_deg)}",
            str(Verdict(point.verdict).label),
        ]
        for point in reversed(record.shown)
    ]
    return _flowing(
        composer, _("The newest lines"), composer.table(header, rows, [17, 24, 13, 13, 13, 8, 14])
    )


def _others(composer: Composer, others: list[tuple[str, list[Attempt]]]) -> list[Flowable]:
    parts: list[Flowable] = []
    for title, attempts in others:
        rows = []
        for attempt in attempts:
            score = attempt.current
            rows.append(
                [
                    short_date(score.local_observed_at, "j M Y H:i"),
                    travel_words.signed_score(
                        score.score_value, score.score_unit, score.score_side, score.results
                    ),
                    words.verdict_name(score.verdict),
                ]
            )
        header = [_("Observed"), _("Score"), _("Verdict")]
        parts += composer.section(title, composer.table(header, rows, [20, 45, 35]))
    return parts


def _without(composer: Composer, without: Sequence[Attempt]) -> list[Flowable]:
    """What came to no result, with the reason; in none of the figures."""
    if not without:
        return []
    header = [_("Observed"), _("Exercise"), _("No result because")]
    rows = [
        [
            short_date(attempt.current.local_observed_at, "j M Y H:i"),
            attempt.current.facts["exercise"],
            attempt.current.no_result_words,
        ]
        for attempt in without
    ]
    return composer.section(_("Without a result"), composer.table(header, rows, [20, 40, 40]))
