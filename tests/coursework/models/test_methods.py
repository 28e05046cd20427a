"""Kinds of exercise: units, what they can be judged on, and the standard in words."""

import pytest
from django.core.exceptions import ValidationError

from coursework.models import Exercise, JudgedOn, Method
from coursework.models.methods import (
    is_by_stars,
    is_by_sun,
    is_travel,
    judged_choices,
    unit_of,
)
from tests import builders

UNITS = {
    ("shadow-tip", "result"): "deg",
    ("pole-star", "own"): "deg",
    ("pace-count", "result"): "percent",
    ("distance", "result"): "percent",
    ("compass-leg", "arrival"): "m",
    ("compass-leg", "bearing"): "deg",
    ("position", "result"): "m",
    ("checklist", "result"): "steps",
}


@pytest.mark.parametrize(("kind", "unit"), UNITS.items())
def test_the_unit_follows_from_method_and_judgement(kind, unit):
    method, judged_on = kind
    assert unit_of(method, judged_on) == unit


@pytest.mark.parametrize("method", Method.values)
def test_each_method_is_of_one_family(method):
    assert [is_by_sun(method), is_by_stars(method), is_travel(method)].count(True) == 1


@pytest.mark.parametrize(
    ("method", "judged_on", "words"),
    [
        ("pace-count", "result", "Within 5 % of the measured distance, over or under."),
        ("distance", "result", "Within 5 % of the measured distance, over or under."),
        ("compass-leg", "arrival", "Within 5 m of the goal on arrival."),
        ("compass-leg", "bearing", "Within 5° to either side of the bearing of the leg."),
        ("position", "result", "Within 5 m of the true point."),
        ("checklist", "result", "Every step has to be met."),
        ("pole-star", "result", "Within 5° to either side of true north."),
    ],
)
def test_the_standard_says_how_near_in_its_own_unit(method, judged_on, words):
    made = Exercise(method=method, judged_on=judged_on, tolerance=5.0)
    assert made.standard_in_words[0] == words


def test_a_checklist_says_nothing_of_uncertainty():
    sentences = Exercise(method="checklist", tolerance=0.0).standard_in_words
    assert not any("uncertainty" in sentence for sentence in sentences)


def faults(**fields) -> set[str]:
    made = Exercise(**{"method": "shadow-tip", "title": "T", "task": "Go."} | fields)
    try:
        made.clean()
    except ValidationError as error:
        return set(error.message_dict)
    return set()


@pytest.mark.parametrize(
    ("method", "judged_on", "tolerance", "sound"),
    [
        ("shadow-tip", "result", 180.0, True),
        ("shadow-tip", "result", 180.1, False),
        ("pace-count", "result", 100.0, True),
        ("pace-count", "result", 100.1, False),
        ("pace-count", "result", 0.05, False),
        ("position", "result", 5000.0, True),
        ("position", "result", 0.4, False),
        ("compass-leg", "arrival", 200.0, True),
        ("compass-leg", "bearing", 200.0, False),
    ],
)
def test_a_tolerance_has_the_range_of_its_unit(method, judged_on, tolerance, sound):
    found = faults(method=method, judged_on=judged_on, tolerance=tolerance)
    assert ("tolerance" not in found) is sound


@pytest.mark.parametrize("method", Method.values)
def test_only_what_a_method_can_be_judged_on_is_taken(method):
    for judged_on in JudgedOn.values:
        found = faults(method=method, judged_on=judged_on, tolerance=5.0, steps="One.")
        assert ("judged_on" in found) is (judged_on not in judged_choices(method))


def test_a_checklist_needs_steps():
    assert faults(method="checklist", tolerance=0.0) == {"steps"}
    assert faults(method="checklist", tolerance=0.0, steps="Knocks.") == set()


def test_by_the_stars_there_is_no_forenoon():
    assert faults(method="pole-star", forenoon_and_afternoon=True) == {"forenoon_and_afternoon"}


@pytest.mark.django_db
def test_an_exercise_of_any_method_can_be_saved():
    for method in Method.values:
        made = builders.exercise(method=method, judged_on=judged_choices(method)[0])
        made.full_clean()
