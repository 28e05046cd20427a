"""The standard as it is printed: how near, how often, and spread over what."""

import pytest

from assessments.sheets import sources
from assessments.sheets.contents import Standard, TravelStandard
from assessments.sheets.said import closeness_sentence, standard_sentence
from coursework.models import Exercise
from tests import builders

LINE = {"target_deg": 0.0, "tolerance_deg": 15.0}
PACES = {"method": "pace-count", "tolerance": 5.0, "unit": "percent"}


@pytest.mark.parametrize(("kind", "fields"), [(Standard, LINE), (TravelStandard, PACES)])
def test_days_halves_and_assessors_are_said_where_they_are_set(kind, fields):
    spread = {"distinct_days": 2, "forenoon_and_afternoon": True, "distinct_assessors": 3}
    said = standard_sentence(kind(**fields, attempts_needed=4, **spread))
    assert said.endswith(
        "4 attempts within the standard are needed. They are on at least 2 different days. "
        "At least one of them is in the forenoon and one in the afternoon. "
        "They are checked by at least 3 different assessors."
    )


def test_one_day_and_one_assessor_are_not_worth_a_word():
    said = standard_sentence(Standard(**LINE, attempts_needed=3))
    assert said.endswith("3 attempts within the standard are needed.")


def test_a_single_result_says_only_how_near():
    standard = Standard(**LINE, distinct_days=2)
    assert standard_sentence(standard) == closeness_sentence(standard)


@pytest.mark.django_db
@pytest.mark.parametrize("fields", [{}, {"method": "pace-count", "tolerance": 5.0}])
def test_the_sheet_of_an_exercise_asks_for_what_the_exercise_does(fields):
    exercise: Exercise = builders.exercise(
        **fields,
        attempts_needed=4,
        distinct_days=2,
        distinct_assessors=2,
        forenoon_and_afternoon=True,
    )
    said = standard_sentence(sources.blank_sheet(exercise).standard)
    for sentence in exercise.evidence_in_words:
        assert sentence in said
