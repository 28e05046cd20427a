"""The parts make the whole: combined in quadrature and doubled they are the expanded one.

JCGM 100:2008 (GUM), 5.1.2 and 6.2.1: combined standard uncertainty and coverage factor.
"""

import math

import pytest

from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db

CHECKS = {
    "compass": ({}, {"reading", "declination"}),
    "own declination": ({"check": "compass", "declination_deg": "3"}, {"reading", "declination"}),
    "landmark": ({}, {"reading", "mark"}),
    "shadow": ({"check_time": "2025-06-20T17:00:00+02:00"}, {"reading", "check time"}),
    "direct": ({"reading_u_deg": "0.2"}, {"reading"}),
}


def parts_of(method, check, judged_on):
    drill = results.drill(method)
    drill.exercise.judged_on = judged_on
    drill.exercise.save()
    columns = {"check": check, "reading_deg": "20"} | CHECKS[check][0]
    mark = builders.mark(site=drill.site) if check == "landmark" else None
    revision = results.attempt(method, of=drill, columns=columns, mark=mark).current
    return revision.facts["uncertainty"], revision.expanded_uncertainty_deg


@pytest.mark.parametrize("judged_on", ["result", "own"])
@pytest.mark.parametrize("check", CHECKS)
@pytest.mark.parametrize("method", results.LINES)
def test_the_parts_make_the_whole(method, check, judged_on):
    parts, expanded_deg = parts_of(method, check, judged_on)
    combined = math.sqrt(sum(part**2 for part in parts.values()))
    assert 2.0 * combined == pytest.approx(expanded_deg, abs=0.002)
    expected = CHECKS[check][1]
    assert expected <= set(parts) <= expected | {"clock"}


@pytest.mark.parametrize("check", CHECKS)
def test_the_clock_counts_only_where_the_own_error_is_judged(check):
    assert "clock" not in parts_of("shadow-tip", check, "result")[0]
    assert parts_of("shadow-tip", check, "own")[0]["clock"] > 0.0


def test_computed_times_have_no_clock():
    assert "clock" not in parts_of("first-last", "direct", "own")[0]


def test_a_mark_counts_as_surely_as_it_is_known():
    drill = results.drill("shadow-tip")
    mark = builders.mark(site=drill.site, bearing_u_deg=0.1)
    columns = {"check": "landmark", "reading_deg": "20"}
    revision = results.attempt("shadow-tip", of=drill, columns=columns, mark=mark).current
    assert revision.facts["uncertainty"]["mark"] == 0.1
    assert revision.expanded_uncertainty_deg == pytest.approx(2.0 * math.hypot(1.0, 0.1))


def test_a_declination_of_ones_own_has_half_a_degree():
    assert parts_of("shadow-tip", "own declination", "result")[0]["declination"] == 0.5
