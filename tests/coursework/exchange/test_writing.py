"""A course as a file, there and back."""

import json
from string import printable

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coursework import services
from coursework.exchange.reading import read
from coursework.exchange.writing import document_of, text_of
from coursework.models import Exercise, Lesson
from tests import builders


@pytest.fixture
def admin(db):
    return builders.administrator()


def test_lessons_are_named_by_their_place(admin):
    course = builders.draft()
    second = builders.lesson(course=course, position=2)
    first = builders.lesson(course=course, position=1)
    second.prerequisites.add(first)
    builders.exercise(course=course).lessons.add(second)
    document = document_of(course)
    assert [row["name"] for row in document["lessons"]] == ["lesson 1", "lesson 2"]
    assert document["lessons"][1]["prerequisites"] == ["lesson 1"]
    assert document["exercises"][0]["lessons"] == ["lesson 2"]


def test_the_file_keeps_letters_as_they_are_and_a_line_a_value(admin):
    lines = text_of(builders.draft(title="Żółw")).splitlines()
    assert '    "title": "Żółw",' in lines
    assert list(json.loads("\n".join(lines))) == [
        "format",
        "version",
        "course",
        "lessons",
        "exercises",
    ]


_texts = st.text(alphabet=printable + "äŻ’→漢", max_size=60)
_titles = st.text(alphabet="abcäŻ’漢 -", min_size=1, max_size=30).filter(
    lambda text: text == text.strip()
)


@settings(max_examples=30, suppress_health_check=list(HealthCheck))
@given(st.data())
def test_there_and_back_gives_the_same_file(admin, data):
    course = builders.draft(title="Original", summary=data.draw(_texts))
    lessons: list[Lesson] = []
    titles = data.draw(st.lists(_titles, max_size=4, unique_by=str.casefold))
    for position, title in enumerate(titles, start=1):
        texts = {name: data.draw(_texts) for name in ("objectives", "outline", "kit", "cautions")}
        minutes = data.draw(st.integers(5, 1440))
        lesson = builders.lesson(
            course=course, title=title, position=position, minutes=minutes, **texts
        )
        if lessons:
            lesson.prerequisites.set(data.draw(st.sets(st.sampled_from(lessons))))
        lessons.append(lesson)
    needed = data.draw(st.integers(1, 50))
    exercise = builders.exercise(
        course=course,
        title=data.draw(_titles),
        task=data.draw(_texts.filter(str.strip)),
        target_deg=data.draw(st.floats(0.0, 360.0)),
        tolerance=data.draw(st.floats(0.1, 180.0)),
        judged_on=data.draw(st.sampled_from(["result", "own"])),
        rule=data.draw(st.sampled_from(["guarded", "plain"])),
        attempts_needed=needed,
        distinct_days=data.draw(st.integers(1, needed)),
        distinct_assessors=data.draw(st.integers(1, needed)),
        forenoon_and_afternoon=needed > 1 and data.draw(st.booleans()),
    )
    if lessons:
        exercise.lessons.set(data.draw(st.sets(st.sampled_from(lessons))))
    text = text_of(course)
    made = services.import_course(admin, read(text.encode()))
    assert text_of(made) == text
    assert made.is_draft
    made.delete()
    course.delete()


def test_new_rows_get_keys_of_their_own(admin):
    course = builders.draft()
    builders.exercise(course=course)
    made = services.import_course(admin, read(text_of(course).encode()))
    assert made.lineage != course.lineage
    assert Exercise.objects.values("key").distinct().count() == 2
