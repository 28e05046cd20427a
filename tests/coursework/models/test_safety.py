"""A decision in plain words."""

import pytest

from coursework.models import Drill
from tests import builders

pytestmark = pytest.mark.django_db


def test_each_aspect_says_its_state_its_measure_and_its_note():
    made = builders.decision(
        aspects={
            "lightning": {"concern": True, "note": "Storms from 15:00."},
            "heat": {"concern": False, "note": "Shade."},
            "staff": {"concern": False, "note": ""},
        },
        heat_value=26.0,
        heat_limits={"measure": "wbgt", "unit": "C", "care": 25.0, "stop": 30.0},
    )
    assert made.lines == [
        (
            "heat and cold",
            "in order: 26 °C WBGT: at or over 25 °C WBGT, from where the school takes care. Shade.",
        ),
        ("lightning", "a concern: Storms from 15:00."),
        ("staff", "in order"),
    ]


@pytest.mark.parametrize(
    ("outcome", "said"),
    [("go", "Go: the drill goes out."), ("stay", "Stay: the drill does not go out.")],
)
def test_the_headline_says_what_was_decided(outcome, said):
    assert builders.decision(outcome=outcome).headline == said


def test_drills_come_with_their_last_outcome():
    decided = builders.decision(outcome="go").drill
    builders.decision(outcome="stay", drill=decided)
    open_one = builders.drill(cohort=decided.cohort)
    found = {drill.pk: drill.last_outcome for drill in Drill.objects.with_last_outcome()}
    assert found == {decided.pk: "stay", open_one.pk: None}
