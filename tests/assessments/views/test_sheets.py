"""Sheets over HTTP; what stands on them is tested with the sheets."""

from io import BytesIO

import pytest
from django.urls import reverse
from pypdf import PdfReader

from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db
WIDTHS = {"a4": 595, "letter": 612}


@pytest.fixture
def attempt(client):
    drill = results.drill()
    student = builders.student(drill.cohort, name="Ægir Ólafsson")
    attempt = results.attempt(of=drill, student=student)
    client.force_login(builders.lead(drill.cohort))
    return attempt


def pdf(response) -> PdfReader:
    assert response["Content-Type"] == "application/pdf"
    return PdfReader(BytesIO(response.content))


@pytest.mark.parametrize(
    ("asked", "paper"), [("a4", "a4"), ("letter", "letter"), ("", "a4"), ("LETTER", "letter")]
)
def test_the_paper_that_is_asked_for_is_used(client, attempt, asked, paper):
    response = client.get(reverse("attempt-sheet", args=[attempt.key]), {"paper": asked})
    assert int(pdf(response).pages[0].mediabox.width) == WIDTHS[paper]


def test_an_unknown_paper_is_a4(client, attempt):
    response = client.get(reverse("attempt-sheet", args=[attempt.key]), {"paper": "foolscap"})
    assert int(pdf(response).pages[0].mediabox.width) == WIDTHS["a4"]


def test_the_file_is_named_after_exercise_and_student(client, attempt):
    response = client.get(reverse("attempt-sheet", args=[attempt.key]))
    assert "gir-olafsson.pdf" in response["Content-Disposition"]


def test_the_sheet_of_an_exercise_has_all_attempts_of_the_student(client, attempt):
    results.attempt(of=attempt.drill, student=attempt.student, columns={"reading_deg": "341.5"})
    address = reverse("exercise-sheet", args=[attempt.exercise_id, attempt.student_id])
    text = " ".join(page.extract_text() for page in pdf(client.get(address)).pages)
    assert "350.0°" in text
    assert "341.5°" in text


def test_a_student_without_attempts_has_a_sheet_all_the_same(client, attempt):
    student = builders.student(attempt.drill.cohort, name="Halldóra Bjarnadóttir")
    address = reverse("exercise-sheet", args=[attempt.exercise_id, student.pk])
    text = " ".join(page.extract_text() for page in pdf(client.get(address)).pages)
    assert "Halldóra" in text


def test_a_blank_sheet_names_the_exercise(client, attempt):
    address = reverse("blank-sheet", args=[attempt.exercise_id])
    text = pdf(client.get(address)).pages[0].extract_text()
    assert attempt.exercise.title in text
