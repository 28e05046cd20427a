"""An exercise may ask for hours at which its method is wrong, where there are such."""

import pytest

from coursework.forms.curriculum import ExerciseForm, what_applies
from coursework.models import Exercise, Method
from coursework.models.methods import judged_choices, unused_fields
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


def test_a_method_is_offered_what_it_can_be_judged_on_with_its_unit():
    applies = what_applies()
    assert set(applies) == {"", *Method.values}
    assert applies["shadow-tip"]["judged_on"] == {"result": "degrees", "own": "degrees"}
    assert applies["compass-leg"]["judged_on"] == {"arrival": "metres", "bearing": "degrees"}
    assert applies["pace-count"] == {
        "judged_on": {"result": "percent"},
        "unused": ["judged_on", "target_deg", "wants_wrong_hours"],
    }
    assert "forenoon_and_afternoon" in applies["pole-star"]["unused"]


@pytest.mark.parametrize("method", Method.values)
def test_what_a_method_has_no_use_for_may_be_left_out(method):
    typed = {"method": method, "steps": "Sets out in time.", "wants_wrong_hours": ""}
    typed["judged_on"] = judged_choices(method)[0]
    form = filled(**typed | dict.fromkeys(unused_fields(method), ""))
    assert form.is_valid(), form.errors
    exercise = form.save()
    for name in set(unused_fields(method)) - {"tolerance"}:
        assert getattr(exercise, name) == Exercise._meta.get_field(name).get_default()


@pytest.mark.parametrize(
    ("method", "judged_on"),
    [("shadow-tip", "arrival"), ("compass-leg", "own"), ("pole-star", "bearing")],
)
def test_what_a_method_cannot_be_judged_on_is_refused(method, judged_on):
    form = filled(method=method, judged_on=judged_on, wants_wrong_hours="")
    assert "judged_on" in form.errors


def test_a_target_has_to_be_there_where_a_line_is_laid():
    assert "target_deg" in filled(target_deg="").errors
