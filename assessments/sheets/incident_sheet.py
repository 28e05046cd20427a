"""A report of an incident or a near miss on paper, and the log of several."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from reportlab.platypus import Flowable, Spacer

from assessments.sheets.layout import Composer
from assessments.sheets.moments import local_moment
from assessments.sheets.pages import missing_note
from coursework.models import FollowUp, Incident
from coursework.wording import date_format, said_of


@dataclass(frozen=True, kw_only=True)
class IncidentReport:
    """What was reported and what came of it; times in words, on the clock of the place.

    `follow_ups` are (task, who, state), `notes` are (text, who and when).
    """

    title: str
    school: str
    where: str
    what: str
    action: str
    harm: str
    reported: str
    drill: str = ""
    people: str = ""
    follow_ups: tuple[tuple[str, str, str], ...] = ()
    notes: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, kw_only=True)
class IncidentLog:
    """Reports in the order in which they stand; `narrowed` says what the list was narrowed to."""

    school: str
    printed: str
    reports: tuple[IncidentReport, ...] = ()
    narrowed: bool = False


def report_of(incident: Incident, *, today: date) -> IncidentReport:
    """A stored report with all that was added to it; `today` says which follow-ups are late."""
    zone = incident.zone
    site = incident.site.name if incident.site else ""
    drill = incident.drill
    harm = str(incident.get_harm_display())
    return IncidentReport(
        title=_("%(kind)s, %(when)s")
        % {
            "kind": str(incident.get_kind_display()).capitalize(),
            "when": local_moment(incident.occurred_at, zone),
        },
        school=incident.school.name,
        where=", ".join(filter(None, [site, incident.place])),
        what=incident.what,
        action=incident.action,
        harm=said_of(harm, incident.harm_note) if incident.harm_note else harm,
        reported=_by(incident.reported_by.name, incident.reported_at, zone),
        drill=f"{drill.exercise.title}, {drill.cohort.name}" if drill else "",
        people=incident.people,
        follow_ups=tuple(
            (follow_up.task, follow_up.person.name, _state(follow_up, today))
            for follow_up in incident.follow_ups.all()
        ),
        notes=tuple((note.text, _by(note.by.name, note.at, zone)) for note in incident.notes.all()),
    )


def render_report(report: IncidentReport, *, printed: str, paper: str = "a4") -> bytes:
    """One report as PDF on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = Composer(paper)
    story = [
        composer.paragraph(report.title, "title"),
        composer.paragraph(report.school, "under-title"),
        composer.paragraph(_confidential(), "small"),
        Spacer(1, 6),
        *_report(report, composer),
    ]
    return _pdf(composer, story, title=report.title, school=report.school, printed=printed)


def render_log(log: IncidentLog, *, paper: str = "a4") -> bytes:
    """The log as PDF on `paper`: a table of all reports, then each as it was written."""
    composer = Composer(paper)
    title = _("Incidents and near misses")
    number = len(log.reports)
    count = ngettext("%(n)s report", "%(n)s reports", number) % {"n": number}
    if log.narrowed:
        count = _("%(count)s, of a list narrowed on the page") % {"count": count}
    story = [
        composer.paragraph(title, "title"),
        composer.paragraph(f"{log.school} · {count}", "under-title"),
        composer.paragraph(_confidential(), "small"),
        Spacer(1, 6),
    ]
    if log.reports:
        story.append(_overview(log.reports, composer))
    else:
        story.append(composer.paragraph(_("Nothing has been reported.")))
    for report in log.reports:
        story += [*composer.section(report.title), *_report(report, composer, "subsection")]
    return _pdf(composer, story, title=title, school=log.school, printed=log.printed)


def _confidential() -> str:
    return _(
        "For the staff of the school: it may say who was hurt. A report stays as it was written; "
        "what was learnt later is added to it. Local rules say what has to be reported to whom."
    )


def _overview(reports: Iterable[IncidentReport], composer: Composer) -> Flowable:
    header = [_("What and when"), _("Where"), _("Harm"), _("Follow-up")]
    rows = []
    for report in reports:
        tasks = "\n".join(f"{task} ({state})" for task, _who, state in report.follow_ups)
        rows.append([report.title, report.where, report.harm, tasks or "–"])
    return composer.table(header, rows, [26, 20, 22, 32])


def _report(report: IncidentReport, composer: Composer, heading: str = "section") -> list[Flowable]:
    """The report under headings of that style."""
    facts = [
        (_("Where"), report.where or "–"),
        (_("At the drill"), report.drill or "–"),
        (_("Harm"), report.harm),
        (_("People involved"), report.people or "–"),
        (_("Reported by"), report.reported),
    ]
    story: list[Flowable] = [composer.facts(facts, columns=1, label_part=0.2)]
    parts = [(_("What happened"), report.what), (_("Immediate action"), report.action)]
    for title, said in parts:
        story += [composer.paragraph(title, heading), composer.paragraph(said)]
    if report.follow_ups:
        header = [_("What is to be done"), _("Who"), _("State")]
        table = composer.table(header, [list(row) for row in report.follow_ups], [45, 22, 33])
    else:
        table = composer.paragraph(_("Nothing was asked for."), "small")
    story += [composer.paragraph(_("Follow-up"), heading), table]
    if report.notes:
        rows = [list(note) for note in report.notes]
        added = composer.table([_("Note"), _("By")], rows, [70, 30])
        story += [composer.paragraph(_("Added since"), heading), added]
    return story


def _pdf(composer: Composer, story, *, title: str, school: str, printed: str) -> bytes:
    return composer.pdf(
        [*story, *missing_note(composer)],
        title=title,
        author=school,
        footer=printed,
        subject=_("Incidents and near misses"),
    )


def _by(name: str, moment: datetime, zone: str) -> str:
    return f"{name}, {local_moment(moment, zone)}"


def _state(follow_up: FollowUp, today: date) -> str:
    day = date_format(follow_up.done_on or follow_up.due_on, "j F Y")
    if follow_up.done_on:
        done = _("done %(day)s") % {"day": day}
        return said_of(done, follow_up.done_note) if follow_up.done_note else done
    if follow_up.is_late(today):
        return _("late: was to be done by %(day)s") % {"day": day}
    return _("open, by %(day)s") % {"day": day}
