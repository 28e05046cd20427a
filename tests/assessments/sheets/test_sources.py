"""Sheets from stored attempts: what stood then is what is printed."""

from io import BytesIO

import pytest
from pypdf import PdfReader

from assessments.observations import Observation
from assessments.services import correct_attempt, record_attempt
from assessments.sheets import sources, words
from assessments.sheets.attempt_drawing import attempt_drawing
from assessments.sheets.drawing_words import drawing_description
from assessments.sheets.skill_sheet import render_pdf
from assessments.sheets.svg import to_svg
from tests import builders

pytestmark = pytest.mark.django_db

OBSERVED = {
    "shadow-tip": {"times": "2026-06-20T09:30;2026-06-20T09:45"},
    "first-last": {"date": "2026-06-20", "order": "day"},
    "equal-shadow": {"times": "2026-06-20T10:00"},
    "shortest-shadow": {"times": "2026-06-20T13:28"},
    "hands": {"times": "2026-06-20T09:10", "hands": "3.5", "degrees_per_hand": "9.5"},
    "watch": {"times": "2026-06-20T16:10"},
    "pole-star": {"times": "2026-06-20T23:30"},
    "southern-cross": {"times": "2026-06-20T23:30"},
}
CHECKED = {"check": "direct", "reading_deg": "352.5"}


def an_attempt(method="shadow-tip", *, in_cohort=None, exercise=None, student=None, **fields):
    cohort = in_cohort or builders.cohort()
    exercise = exercise or builders.exercise(course=cohort.course, method=method)
    where = {"latitude_deg": -46.72} if method == "southern-cross" else {}
    site = builders.site(school=cohort.course.school, horizon="0:5 90:8 180:2 270:12", **where)
    drill = builders.drill(cohort=cohort, exercise=exercise, site=site)
    columns = OBSERVED[method] | CHECKED | fields.pop("columns", {})
    return record_attempt(
        by=builders.lead(cohort, name="Tor Ekeberg"),
        drill=drill,
        student=student or builders.student(cohort, name="Ingrid Holmås"),
        observation=Observation(columns=columns, **fields),
    )


def pdf_text(sheet) -> str:
    pages = PdfReader(BytesIO(render_pdf(sheet))).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


@pytest.mark.parametrize("method", OBSERVED)
def test_an_attempt_by_any_method_is_drawn_worded_and_printed(method):
    attempt = an_attempt(method)
    sheet = sources.attempt_sheet(attempt)
    text = pdf_text(sheet)
    assert words.verdict_part(sheet.records[0].numbers) in text
    assert words.split_sentence(sheet.records[0].numbers) in text
    revision = attempt.current
    made = attempt_drawing(revision.drawing, width=350, height=470, zone="Europe/Zurich")
    description = drawing_description(revision.drawing, "Europe/Zurich")
    assert words.bearing(revision.laid_true_deg) in to_svg(
        made, prefix="a", title="Result", description=description
    )


def test_names_and_standard_are_those_of_the_day():
    attempt = an_attempt()
    attempt.student.name = "Someone Else"
    attempt.student.save()
    exercise = attempt.drill.exercise
    exercise.title, exercise.tolerance = "Renamed", 3.0
    exercise.save()
    sheet = sources.attempt_sheet(attempt)
    assert sheet.student == "Ingrid Holmås"
    assert sheet.exercise != "Renamed"
    assert sheet.standard.tolerance_deg == 15.0
    assert sheet.records[0].assessor == "Tor Ekeberg"


def test_numbers_are_those_of_the_stored_score():
    attempt = an_attempt(columns={"student_correction_deg": "12"})
    numbers = sources.numbers_of(attempt.current)
    assert numbers.laid_deg == pytest.approx(352.5)
    assert numbers.error_deg == attempt.current.error_deg
    assert numbers.declared_correction_deg == 12.0
    assert numbers.correction_error_deg == attempt.current.correction_error_deg


def test_the_laying_part_in_words_is_that_of_the_record():
    attempt = an_attempt("hands", columns={"student_correction_deg": "12"})
    said = words.counting_sentence(sources.numbers_of(attempt.current))
    assert f"laying the line: {words.turn(attempt.current.laying_error_deg)}" in said


def test_steps_met_sky_ground_and_remark_are_printed():
    attempt = an_attempt(
        steps_met=("Marks the first tip.",), sky="haze", ground="wet", remark="Wind."
    )
    text = pdf_text(sources.attempt_sheet(attempt))
    assert "Performance steps: 1 of 3 met" in text
    assert all(part in text for part in ("haze", "wet", "Remark: Wind."))


def test_the_skyline_is_described():
    record = sources.record_of(an_attempt())
    assert record.place.skyline == "profile of 4 points, highest 12.0° at 270°"


def test_a_correction_is_printed_with_its_reason():
    attempt = an_attempt()
    correct_attempt(
        by=attempt.current.recorded_by,
        attempt=attempt,
        observation=Observation(columns=OBSERVED["shadow-tip"] | CHECKED | {"reading_deg": "2"}),
        reason="Read from the wrong end",
    )
    attempt.refresh_from_db()
    text = pdf_text(sources.attempt_sheet(attempt))
    assert "corrected, revision 2: Read from the wrong end" in text


def test_attempts_at_an_exercise_stand_in_order_of_time():
    cohort = builders.cohort()
    exercise = builders.exercise(course=cohort.course)
    student = builders.student(cohort)
    later = {"times": "2026-06-20T10:30;2026-06-20T10:45"}
    parts = {"in_cohort": cohort, "exercise": exercise, "student": student}
    attempts = [an_attempt(columns=later, **parts), an_attempt(**parts)]
    records = sources.exercise_sheet(exercise, student, attempts).records
    assert [record.observed_at for record in records] == sorted(
        attempt.current.observed_at for attempt in attempts
    )


def test_attempts_loaded_together_take_no_query_each(django_assert_num_queries):
    attempt = an_attempt()
    loaded = (
        type(attempt)
        .objects.filter(pk=attempt.pk)
        .select_related("student", "current__recorded_by")
        .get()
    )
    with django_assert_num_queries(0):
        sources.attempt_sheet(loaded)


def test_a_blank_sheet_carries_task_steps_and_standard_of_the_exercise():
    exercise = builders.exercise(task="Lay it.", tolerance=12.0)
    sheet = sources.blank_sheet(exercise)
    assert (sheet.kind, sheet.task, sheet.standard.tolerance_deg) == ("blank", "Lay it.", 12.0)
    assert sheet.steps == tuple(exercise.step_list)
