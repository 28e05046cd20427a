"""An exercise may ask for hours at which its method is wrong, where there are such."""

import pytest

from coursework.forms.curriculum import ExerciseForm
from coursework.models import Exercise
from tests import builders

pytestmark = pytest.mark.django_db


def filled(**typed) -> ExerciseForm:
    data = {
        "title": "Limits of the shadow tip",
        "method": "shadow-tip",
        "task": "Lay a line and say how far the hour puts it off.",
        "target_deg": "0",
        "tolerance": "15",
        "judged_on": "result",
        "rule": "guarded",
        "attempts_needed": "1",
        "distinct_days": "1",
        "distinct_assessors": "1",
        "wants_wrong_hours": "on",
    }
    return ExerciseForm(data | typed, instance=Exercise(course=builders.draft()))


def test_the_standard_says_that_wrong_hours_are_wanted():
    exercise = filled().save()
    assert exercise.wants_wrong_hours
    assert any("to teach its limits" in sentence for sentence in exercise.standard_in_words)


def test_unless_it_is_asked_for_the_standard_does_not_speak_of_it():
    exercise = builders.exercise()
    assert not any("to teach its limits" in sentence for sentence in exercise.standard_in_words)


@pytest.mark.parametrize("method", ["pole-star", "pace-count"])
def test_what_no_hour_makes_wrong_cannot_ask_for_wrong_hours(method):
    assert "wants_wrong_hours" in filled(method=method).errors
