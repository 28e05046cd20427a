"""A standard in words."""

import pytest

from coursework.models import Course, Exercise, JudgedOn, Rule
from tests import builders


@pytest.mark.parametrize(
    ("target_deg", "words"),
    [
        (0.0, "true north"),
        (360.0, "true north"),
        (90.0, "true east"),
        (180.0, "true south"),
        (270.0, "true west"),
        (45.0, "the true bearing 045°"),
        (7.5, "the true bearing 007.5°"),
    ],
)
def test_the_bearing_asked_for_in_words(target_deg, words):
    assert Exercise(target_deg=target_deg).target_in_words == words


def test_the_standard_says_how_close_and_how_often():
    sentences = Exercise(tolerance=7.5, attempts_needed=1).standard_in_words
    assert sentences[0] == "Within 7.5° to either side of true north."
    assert sentences[-1] == "1 attempt within the standard is needed."


@pytest.mark.parametrize(
    ("judged_on", "words"), [(JudgedOn.RESULT, "The result is judged"), (JudgedOn.OWN, "own error")]
)
def test_the_standard_says_what_is_judged(judged_on, words):
    assert words in Exercise(judged_on=judged_on).standard_in_words[1]


@pytest.mark.parametrize(("rule", "words"), [(Rule.GUARDED, "counts"), (Rule.PLAIN, "not used")])
def test_the_standard_names_its_rule(rule, words):
    assert words in Exercise(rule=rule).standard_in_words[2]


def test_blank_lines_are_no_steps():
    assert Exercise(steps=" one \n\n two").step_list == ["one", "two"]


@pytest.mark.django_db
def test_courses_are_counted_with_exercises_and_cohorts_apart():
    course = builders.course()
    for _ in range(2):
        builders.exercise(course=course)
    for _ in range(3):
        builders.cohort(course=course)
    counted = Course.objects.with_numbers().get()
    assert (counted.exercise_number, counted.cohort_number) == (2, 3)
