"""Every sheet that is printed has a structure by which it can be heard (ISO 32000-1, 14.8)."""

from datetime import date
from types import SimpleNamespace

import pytest
from django.conf import settings
from django.urls import URLPattern, get_resolver, reverse

from assessments.certification.packet_source import packet_sheet
from assessments.observations import Observation
from assessments.services import record_attempt
from assessments.sheets import emergency_card, lesson_plan, run_sheet, skill_sheet, sources
from assessments.sheets.incident_sheet import IncidentLog, render_log
from assessments.sheets.packet import render_pdf as packet_pdf
from assessments.sheets.record_sheet import StudentRecord
from assessments.sheets.record_sheet import render_pdf as record_pdf
from tests import builders
from tests.assessments import results
from tests.assessments.certification import made
from tests.assessments.sheets.structure_reader import faults

OUTLINE = """# Before

Say *why*. See [the handbook](https://handbook.example/7).

1. Set the stick
   - on firm ground
   - upright

   Plumb it **twice**.
2. Mark the tip

> Never look at the sun.

---

| Mark | Time |
|------|------|
| 1 | 9:00 |

## After

- Clear up
"""

# Of every address that is a sheet: where it is in the world below, and with what it is asked for.
SHEETS = {
    "attempt-sheet": lambda world: ([world.attempt.key], {}),
    "blank-sheet": lambda world: ([world.drill.exercise_id], {}),
    "emergency-card": lambda world: ([world.drill.pk], {}),
    "exercise-sheet": lambda world: ([world.drill.exercise_id, world.student.pk], {}),
    "incident-log": lambda world: ([], {}),
    "incident-report": lambda world: ([world.incident.pk], {}),
    "lesson-plan": lambda world: ([world.lesson.pk], {}),
    "log-sheet": lambda world: ([world.drill.pk], {}),
    "manual-pdf": lambda world: ([], {}),
    "packet-pdf": lambda world: ([world.packet.pk], {}),
    "planner-sheet": lambda world: ([world.drill.site_id], {"day": "2025-06-20"}),
    "record-sheet": lambda world: ([world.student.pk], {}),
    "run-sheet": lambda world: ([world.drill.local_start.date().isoformat()], {}),
    "sun-card": lambda world: ([world.drill.site_id], {"day": "2025-06-20"}),
}
# Packets put together for the press: their pages keep their marks and lose their structure.
UNTAGGED = {"packet-run-print"}
# In the language of the records, whoever reads.
OF_THE_RECORDS = {"packet-pdf"}
# What the signature of a packet adds.
KNOWN = {"packet-pdf": ["page 1: an annotation /Widget outside of the structure"]}


@pytest.fixture
def world() -> SimpleNamespace:
    found = made.world()
    found.packet = made.issued(found)
    found.lesson = builders.lesson(
        course=found.cohort.course,
        outline=OUTLINE,
        kit="Stick\nTen pegs",
        cautions="Keep off the ice.",
    )
    found.drill.exercise.lessons.add(found.lesson)
    found.incident = builders.incident(school=found.school)
    return found


def sheet(client, world, name: str, **query) -> bytes:
    client.force_login(world.administrator if name.startswith("incident") else world.lead)
    args, more = SHEETS[name](world)
    response = client.get(reverse(name, args=args), more | query)
    assert response["Content-Type"] == "application/pdf"
    return response.content


def test_every_address_of_a_sheet_is_tried():
    names = {
        pattern.name
        for pattern in _patterns(get_resolver())
        if str(pattern.pattern).endswith(".pdf")
    }
    assert names == SHEETS.keys() | UNTAGGED


def _patterns(resolver) -> list[URLPattern]:
    found = []
    for pattern in resolver.url_patterns:
        found += [pattern] if isinstance(pattern, URLPattern) else _patterns(pattern)
    return found


@pytest.mark.django_db
@pytest.mark.parametrize(("paper", "language"), [("a4", "en-gb"), ("letter", "fr")])
@pytest.mark.parametrize("name", sorted(SHEETS))
def test_a_sheet_is_tagged(client, world, name, paper, language):
    client.cookies[settings.LANGUAGE_COOKIE_NAME] = language
    content = sheet(client, world, name, paper=paper)
    expected = settings.LANGUAGE_CODE if name in OF_THE_RECORDS else language
    assert faults(content, language=expected) == KNOWN.get(name, [])


@pytest.mark.django_db
def test_a_packet_without_its_signature_has_no_fault(world):
    content = packet_pdf(packet_sheet(world.packet))
    assert faults(content, language=settings.LANGUAGE_CODE) == []


@pytest.mark.django_db
@pytest.mark.parametrize("method", results.LINES + results.TRAVEL)
def test_skill_sheets_of_every_method_are_tagged(method):
    attempt = results.attempt(method)
    for found in (
        sources.blank_sheet(attempt.exercise),
        sources.attempt_sheet(attempt),
        sources.exercise_sheet(attempt.exercise, attempt.student, [attempt]),
    ):
        assert told_of(skill_sheet.render_pdf(found)) == []


@pytest.mark.django_db
@pytest.mark.parametrize("method", results.LINES + results.TRAVEL)
def test_log_sheets_of_every_method_are_tagged(client, method):
    drill = results.drill(method)
    builders.student(drill.cohort, name="Nadia Haddad نادية حداد")
    client.force_login(builders.lead(drill.cohort))
    assert told_of(client.get(reverse("log-sheet", args=[drill.pk])).content) == []


@pytest.mark.django_db
def test_a_result_that_was_none_is_tagged():
    drill = results.drill()
    student, lead = builders.student(drill.cohort), builders.lead(drill.cohort)
    observed = Observation(columns={}, no_result="cloud")
    attempt = record_attempt(by=lead, drill=drill, student=student, observation=observed)
    assert told_of(skill_sheet.render_pdf(sources.attempt_sheet(attempt))) == []
    assert told_of(record_pdf(student, StudentRecord([]), [], [attempt])) == []


@pytest.mark.django_db
def test_results_of_another_kind_are_tagged(client):
    attempt = results.attempt("pace-count")
    client.force_login(attempt.student)
    assert told_of(client.get(reverse("record-sheet", args=[attempt.student_id])).content) == []


def test_sheets_with_next_to_nothing_on_them_are_tagged():
    card = emergency_card.EmergencyCard(
        school="", exercise="", cohort="", site="Ridge", when="", positions=(), elevation_m=0.0
    )
    day = run_sheet.RunSheet(school="", day=date(2026, 6, 20), held=(), sites=(), cautions=())
    for content in (
        emergency_card.render_pdf(card),
        lesson_plan.render_pdf(lesson_plan.LessonPlan(title="Lesson", minutes=30)),
        render_log(IncidentLog(school="", printed="")),
        run_sheet.render_pdf(day),
    ):
        assert told_of(content) == []


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_what_goes_on_over_pages_is_tagged(paper):
    long = " ".join(["Stop at the ford and count everybody."] * 90)
    outline = "\n".join([f"1. {long}", "", f"   {long}", f"   - {long}", f"2. {long}"])
    plan = lesson_plan.LessonPlan(
        title="Lesson & <more>", minutes=30, outline=outline, cautions=(long, long), kit=(long,) * 3
    )
    assert told_of(lesson_plan.render_pdf(plan, paper=paper)) == []


def told_of(content: bytes) -> list[str]:
    return faults(content, language=settings.LANGUAGE_CODE)
