"""What a school decides for itself."""

import pytest

from coursework.models import HeatLimits, SchoolSettings
from tests import builders


def limits(**fields) -> HeatLimits:
    return HeatLimits(**{"measure": "wbgt", "unit": "C", "care": 25.0, "stop": 30.0} | fields)


@pytest.mark.parametrize(
    ("value", "care", "stop"),
    [(24.9, False, False), (25.0, True, False), (29.9, True, False), (30.0, True, True)],
)
def test_a_limit_is_met_at_the_limit(value, care, stop):
    assert limits().asks_for_care(value) is care
    assert limits().asks_to_stay(value) is stop


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (20.0, "20 °C WBGT: below the school’s limits."),
        (26.5, "26.5 °C WBGT: at or over 25 °C WBGT, from where the school takes care."),
        (31.0, "31 °C WBGT: at or over 30 °C WBGT, from where the school stays in."),
        (-3.0, "−3 °C WBGT: below the school’s limits."),
    ],
)
def test_a_measured_value_is_said_with_its_unit_and_the_limit(value, said):
    assert limits().verdict(value) == said


def test_an_air_temperature_says_where_it_was_taken_and_its_own_unit():
    in_shade = limits(measure="air", unit="F", care=None, stop=95.0)
    assert in_shade.sentences() == ["The school stays in from 95 °F in the shade."]


def test_a_school_without_limits_says_so():
    none = limits(care=None, stop=None)
    assert none.sentences() == ["The school has set no heat limits."]
    assert none.verdict(40.0) == "40 °C WBGT; the school has set no limits."


@pytest.mark.django_db
def test_a_school_that_decided_nothing_has_no_heat_limits_and_no_number_to_call():
    settings = SchoolSettings.of(builders.school())
    assert settings.pk is None
    assert not settings.limits.is_set
    assert settings.emergency_number == ""
