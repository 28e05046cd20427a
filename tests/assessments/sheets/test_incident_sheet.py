"""A report of an incident, and the log, on paper."""

from dataclasses import replace
from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from assessments.sheets.incident_sheet import (
    IncidentLog,
    IncidentReport,
    render_log,
    render_report,
    report_of,
)
from tests import builders

REPORT = IncidentReport(
    title="Near miss, 20 June 2026, 09:30 CEST",
    school="Ridge School",
    where="Saddle, by the ford",
    what="Somebody slipped on the wet bank.\nNobody fell in.",
    action="Everyone was called in and counted.",
    harm="nobody hurt",
    reported="Ada Roth, 20 June 2026, 11:00 CEST",
    follow_ups=(("Fix a hand line.", "Teo Marchetti", "open, by 31 July 2026"),),
    notes=(("The bank is mown now.", "Ada Roth, 1 July 2026, 08:00 CEST"),),
)


def words(pdf: bytes) -> str:
    text = "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(text.split())


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_report_has_all_that_was_said(paper):
    said = words(render_report(REPORT, printed="printed today", paper=paper))
    parts = (REPORT.title, REPORT.where, "Nobody fell in.", REPORT.action, REPORT.harm)
    for part in (*parts, REPORT.reported, *REPORT.follow_ups[0], *REPORT.notes[0]):
        assert part in said
    assert "printed today" in said


def test_what_was_not_asked_for_is_said():
    said = words(render_report(replace(REPORT, follow_ups=(), notes=()), printed=""))
    assert "Nothing was asked for." in said
    assert "Added since" not in said


def test_a_log_has_its_number_a_table_and_each_report():
    reports = (REPORT, replace(REPORT, title="Incident, 2 May 2026, 14:00 CEST"))
    said = words(render_log(IncidentLog(school="Ridge School", printed="", reports=reports)))
    assert "2 reports" in said
    assert said.count(REPORT.title) == 2
    assert said.count(REPORT.action) == 2


def test_an_empty_log_and_a_narrowed_one_say_so():
    assert "Nothing has been reported." in words(render_log(IncidentLog(school="R", printed="")))
    log = IncidentLog(school="R", printed="", reports=(REPORT,), narrowed=True)
    assert "1 report, of a list narrowed on the page" in words(render_log(log))


def test_the_longest_report_goes_on_over_pages():
    report = replace(REPORT, what="A long story. " * 285, notes=(("Seen since. " * 330, "Ada"),))
    log = IncidentLog(school="R", printed="", reports=(report,))
    assert len(PdfReader(BytesIO(render_log(log))).pages) > 1


@pytest.mark.django_db
def test_a_stored_report_is_on_the_clock_of_its_place_and_tells_late_from_open_and_done():
    incident = builders.incident()
    builders.follow_up(incident=incident, task="Late one.", due_on=date(2026, 7, 1))
    builders.follow_up(incident=incident, task="Open one.", due_on=date(2026, 8, 1))
    builders.follow_up(
        incident=incident, task="Done one.", done_on=date(2026, 7, 2), done_note="Line fixed."
    )
    report = report_of(incident, today=date(2026, 7, 31))
    assert report.title == "Near miss, 20 June 2026, 09:30 CEST"
    states = {task: state for task, _who, state in report.follow_ups}
    assert states == {
        "Late one.": "late: was to be done by 1 July 2026",
        "Open one.": "open, by 1 August 2026",
        "Done one.": "done 2 July 2026: Line fixed.",
    }
