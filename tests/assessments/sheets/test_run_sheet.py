"""The run sheet of a day, read back from its PDF."""

import re
from datetime import UTC, datetime, timedelta
from io import BytesIO

import pytest
from django.urls import reverse
from pypdf import PdfReader

from tests import builders

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)


@pytest.fixture
def drill():
    cohort = builders.cohort()
    lesson = builders.lesson(
        course=cohort.course, kit="Straight stick\nTen pegs", cautions="Keep off the ice."
    )
    site = builders.site(
        school=cohort.course.school,
        name="Ridge",
        rally_words="The stone hut",
        lost_steps="Stay put.",
        hazards="Scree",
    )
    exercise = builders.exercise(course=cohort.course, title="Tip line")
    exercise.lessons.add(lesson)
    made = builders.drill(
        cohort=cohort,
        site=site,
        exercise=exercise,
        starts_at=NOON,
        wet_plan="A lesson in the hut.",
        lead=builders.lead(cohort, name="Runa Falk"),
    )
    made.assistants.add(builders.assistant(cohort, name="Odo Brandt"))
    made.groups.add(builders.group(builders.student(cohort), cohort=cohort, name="Larks"))
    builders.student(cohort)
    return made


def sheet(client, drill, day="2026-09-22", **query) -> str:
    client.force_login(drill.lead)
    response = client.get(reverse("run-sheet", args=[day]), query)
    assert response["Content-Type"] == "application/pdf"
    pages = PdfReader(BytesIO(response.content)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


def test_it_has_when_where_who_and_what_to_bring(client, drill):
    text = sheet(client, drill)
    for words in (
        "Tuesday 22 September 2026",
        "13:00 CEST",
        "Tip line",
        "Ridge",
        "Runa Falk",
        "Odo Brandt",
        "Larks",
        "1 student",
        "Straight stick",
        "Ten pegs",
        "Keep off the ice.",
        "A lesson in the hut.",
        "not decided when this was printed",
    ):
        assert words in text


def test_it_has_what_to_do_when_something_happens(client, drill):
    text = sheet(client, drill)
    for words in ("The stone hut", "Stay put.", "Someone is missing", "Never look at the sun"):
        assert words in text
    # Common practice of weather services: 30 seconds, 30 minutes.
    assert "within 30 seconds" in text
    assert "30 minutes after the last thunder" in text


def test_the_method_error_stands_at_the_start_the_middle_and_the_end(client, drill):
    drill.starts_at = builders.MIDSUMMER_MORNING
    drill.save()
    text = sheet(client, drill, day="2026-06-20")
    found = re.findall(r"(Start|Middle|End) (\d\d:\d\d) CEST .*? ([\d.]+)° to the left", text)
    assert [(name, clock) for name, clock, _size in found] == [
        ("Start", "09:30"),
        ("Middle", "10:00"),
        ("End", "10:30"),
    ]
    sizes = [float(size) for _name, _clock, size in found]
    # Three hours before the sun's noon in June a line is some 18 degrees off at this latitude.
    assert abs(sizes[2] - 18.0) < 2.0
    assert sizes == sorted(sizes, reverse=True)


def test_where_wrong_hours_are_wanted_no_start_is_said_to_be_beyond_the_standard(client, drill):
    drill.exercise.wants_wrong_hours = True
    drill.exercise.save()
    text = sheet(client, drill)
    assert "the drill teaches the limits of the method" in text
    assert "more than the" not in text


@pytest.mark.parametrize(("paper", "width"), [("a4", 595), ("letter", 612)])
def test_it_fits_both_papers_in_letters_of_twelve_points(client, drill, paper, width):
    client.force_login(drill.lead)
    response = client.get(reverse("run-sheet", args=["2026-09-22"]), {"paper": paper})
    page = PdfReader(BytesIO(response.content)).pages[0]
    assert round(page.mediabox.width) == width
    assert b"12 Tf" in page.get_contents().get_data()


@pytest.mark.parametrize("day", ["2026-09-23", "tomorrow"])
def test_a_date_without_drills_has_none(client, drill, day):
    client.force_login(drill.lead)
    assert client.get(reverse("run-sheet", args=[day])).status_code == 404


def test_a_cancelled_drill_is_printed_as_that(client, drill):
    drill.cancelled_at, drill.cancel_reason = NOON, "Storm."
    drill.save()
    assert "Cancelled. Storm." in sheet(client, drill)


def test_a_lesson_of_the_day_is_on_it_in_its_turn(client, drill):
    lesson = builders.lesson(course=drill.cohort.course, title="The arc", kit="A globe")
    builders.planned_lesson(
        cohort=drill.cohort,
        lesson=lesson,
        place="School room",
        note="Pencils.",
        lead=drill.lead,
        starts_at=NOON - timedelta(hours=4),
    )
    text = sheet(client, drill)
    assert text.index("The arc") < text.index("Tip line")
    for words in ("09:00 CEST", "Lesson: The arc", "School room", "Pencils.", "A globe"):
        assert words in text


def test_a_day_of_lessons_alone_has_a_sheet_with_the_cautions_of_any_method(client, drill):
    builders.planned_lesson(
        cohort=drill.cohort, starts_at=NOON + timedelta(days=1), place="School room"
    )
    text = sheet(client, drill, day="2026-09-23")
    assert "School room" in text
    assert "nobody named to lead" in text
    assert "Never look at the sun" in text
