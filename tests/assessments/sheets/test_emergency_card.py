"""The emergency card on paper."""

from datetime import UTC, datetime
from io import BytesIO

import pytest
from django.utils import timezone
from pypdf import PdfReader

from assessments.sheets.emergency_card import EmergencyCard, Sharer, render_pdf
from assessments.sheets.emergency_source import emergency_card
from coursework.models import Contact, SchoolSettings
from tests import builders

NOW = datetime(2026, 6, 19, 18, 0, tzinfo=UTC)


def words(pdf: bytes) -> str:
    text = "\n".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(text.split())


def card(**fields) -> EmergencyCard:
    defaults = {
        "school": "School",
        "exercise": "Shadow-tip line",
        "cohort": "First group",
        "site": "Upper Meadow",
        "when": "20 June 2026, 09:30 CEST, for 60 minutes",
        "positions": (("Decimal degrees", "46.72000° N, 8.18000° E"),),
        "elevation_m": 1050.0,
    }
    return EmergencyCard(**defaults | fields)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_number_and_position_steps_and_rules_stand_on_it(paper):
    said = words(render_pdf(card(emergency_number="112"), paper=paper))
    for part in (
        "Call: 112",
        "46.72000° N, 8.18000° E",
        "Someone is missing",
        "within 30 seconds",
        "until 30 minutes after",
        "Heat:",
        "Never look at the sun",
        "Local rules, licensed practice",
    ):
        assert part in said


def test_what_nobody_entered_is_said_to_be_missing():
    said = words(render_pdf(card()))
    assert "not entered by the school" in said
    assert said.count("nothing entered") == 5


def test_students_stand_with_what_they_share():
    students = (Sharer(name="Lena Quist", contact="Ulla Quist +41 1"), Sharer(name="Ivo Marty"))
    said = words(render_pdf(card(students=students)))
    assert "Lena Quist Ulla Quist +41 1 nothing shared" in said
    assert "Ivo Marty not shared nothing shared" in said


def test_the_same_card_is_the_same_bytes():
    assert render_pdf(card()) == render_pdf(card())


def test_another_paper_is_refused():
    with pytest.raises(ValueError, match="paper size"):
        render_pdf(card(), paper="a5")


@pytest.fixture
def drill(db):
    site = builders.site(rally_words="The gate", safe_heading_deg=180, safe_heading_to="the road")
    cohort = builders.cohort(school=site.school)
    SchoolSettings.objects.create(school=site.school, emergency_number="112")
    return builders.drill(cohort=cohort, site=site)


def test_a_card_has_the_place_in_all_forms_without_characters_paper_lacks(drill):
    made = emergency_card(drill, builders.lead(drill.cohort), now=NOW)
    texts = [text for _name, text in made.positions]
    assert [name for name, _text in made.positions][2:] == ["UTM", "MGRS"]
    assert texts[:2] == ["46.72000° N, 8.18000° E", "46° 43' 12.0\" N, 8° 10' 48.0\" E"]
    assert "[U+" not in words(render_pdf(made))
    assert made.rally == "The gate"
    assert made.safe_heading == "south, to the road"
    assert made.emergency_number == "112"


def test_only_what_was_agreed_to_is_on_the_card(drill):
    agreed, silent = builders.student(drill.cohort), builders.student(drill.cohort)
    fields = {"emergency_name": "Ulla", "emergency_phone": "+41 1 23", "medical_note": "Asthma"}
    Contact.objects.create(person=agreed, **fields, emergency_agreed_at=timezone.now())
    Contact.objects.create(person=silent, **fields)
    made = emergency_card(drill, builders.assistant(drill.cohort), now=NOW)
    found = {student.name: (student.contact, student.medical) for student in made.students}
    assert found == {agreed.name: ("Ulla +41 1 23", ""), silent.name: ("", "")}


def test_the_last_decision_is_on_the_card(drill):
    reader = builders.lead(drill.cohort)
    assert "not decided" in emergency_card(drill, reader, now=NOW).decision
    builders.decision(drill=drill, outcome="stay")
    assert "Stay: the drill does not go out." in emergency_card(drill, reader, now=NOW).decision


def test_someone_in_two_roles_stands_once_among_the_staff(drill):
    lead = builders.lead(drill.cohort)
    builders.enrolment(cohort=drill.cohort, person=lead, role="assistant")
    made = emergency_card(drill, lead, now=NOW)
    assert made.staff == ((lead.name, "course lead, assistant instructor"),)
