"""Lesson plans for the pocket."""

import re
from io import BytesIO

import pytest
from pypdf import PdfReader
from reportlab.lib.pagesizes import A4, LETTER

from assessments.sheets.lesson_plan import LessonPlan, plan_of, render_pdf
from coursework.models import Lesson
from tests import builders

PLAN = LessonPlan(
    title="Stick and shadow",
    minutes=90,
    course="By the sun",
    version="version 2",
    school="Arvelune",
    timing=((0, "Set the stick", 10), (10, "Lay the line", 65)),
    untimed_min=15,
    objectives=("Sets a stick upright.",),
    kit=("Stick of 1 m", "Cord"),
    cautions=("Stick ends stay below eye height.",),
    outline="## Set the stick (10 min)\n\n1. Firm ground\n2. Plumb it",
    references=("Handbook, sheet 4",),
    before=("The day's arc",),
)


def pages(plan: LessonPlan, paper: str = "a4"):
    return PdfReader(BytesIO(render_pdf(plan, paper=paper))).pages


def words(plan: LessonPlan) -> str:
    return " ".join(" ".join(page.extract_text().split()) for page in pages(plan))


@pytest.mark.parametrize(
    "said",
    ["Stick and shadow", "By the sun · version 2 · Arvelune", "0:10", "Lay the line", "65 min",
     "90 min in all; 15 min left for breaks and the way", "Stick of 1 m", "Sets a stick upright.",
     "Stick ends stay below eye height.", "Never look at the sun", "Firm ground",
     "Handbook, sheet 4", "Comes after: The day's arc."],
)  # fmt: skip
def test_the_plan_says(said):
    assert said in words(PLAN)


def test_timing_kit_and_cautions_come_before_how_it_runs():
    text = words(PLAN)
    places = [text.index(part) for part in ("Timing", "Kit", "Cautions", "Objectives", "Outline")]
    assert places == sorted(places)


@pytest.mark.parametrize(("paper", "size"), [("a4", A4), ("letter", LETTER)])
def test_it_fits_both_papers(paper, size):
    (page,) = pages(PLAN, paper)
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size)


def test_another_paper_is_refused():
    with pytest.raises(ValueError, match="a3"):
        render_pdf(PLAN, paper="a3")


def test_parts_that_take_too_long_are_said():
    assert "the parts take 5 min more" in words(LessonPlan(**vars(PLAN) | {"untimed_min": -5}))


def test_an_empty_lesson_says_what_is_not_written_down():
    text = words(LessonPlan(title="Bare", minutes=60))
    assert "60 min in all" in text
    assert "No kit is written down." in text
    assert "No outline is written down." in text


def test_small_pages_are_counted_over_all_sheets():
    long = LessonPlan(**vars(PLAN) | {"outline": "A line that goes on.\n\n" * 150})
    text = words(long)
    (count,) = set(re.findall(r"\b1 of (\d+)", text))
    assert int(count) > 4
    assert f"{count} of {count}" in text
    assert len(pages(long)) == -(-int(count) // 4)


def test_the_same_plan_gives_the_same_bytes():
    assert render_pdf(PLAN) == render_pdf(PLAN)


def test_a_plan_is_filled_from_a_lesson(db):
    course = builders.draft()
    before = builders.lesson(course=course, title="Before")
    lesson: Lesson = builders.lesson(
        course=course, outline="# Talk (10 min)", kit="stick\n\ncord", minutes=30
    )
    lesson.prerequisites.add(before)
    plan = plan_of(lesson)
    assert plan.timing == ((0, "Talk", 10),)
    assert (plan.untimed_min, plan.kit, plan.before) == (20, ("stick", "cord"), ("Before",))
