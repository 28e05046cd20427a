"""The north diagram and its sentences."""

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.graphics.shapes import String

from assessments.sheets import north_words
from assessments.sheets.north_diagram import (
    LEAST_SHOWN_DEG,
    MOST_SHOWN_DEG,
    TOGETHER_DEG,
    north_diagram,
    shown_angles,
)
from coursework.norths import Norths, norths_at

IN_2026 = date(2026, 11, 25)
PLACES = [(45.2, 6.5), (-45.0, 169.3), (75.0, -95.0), (85.8, 139.0), (0.0, 9.0), (40.0, -72.2)]


def norths(**fields) -> Norths:
    """A place with 9 degrees of easterly grid-magnetic angle, unless said otherwise."""
    defaults = {
        "latitude_deg": 45.0,
        "longitude_deg": 8.0,
        "as_of": IN_2026,
        "declination_deg": 10.0,
        "uncertainty_deg": 0.35,
        "yearly_change_deg": 0.12,
        "horizontal_nt": 22000.0,
        "model": "WMM-2025",
        "convergence_deg": 1.0,
        "zone": 32,
    }
    return Norths(**defaults | fields)


def strings(drawing) -> list[String]:
    return [shape for shape in drawing.contents if isinstance(shape, String)]


def said(place) -> str:
    return " ".join(shape.text for shape in strings(north_diagram(place)))


def test_an_easterly_grid_magnetic_angle_is_added_to_a_magnetic_bearing():
    # TC 3-25.26 (2013), par. 6-14: 9 degrees easterly, so 190 magnetic is 199 grid; here 100.
    lines = north_words.conversions(norths())
    assert "Magnetic to grid: add 9.0°. The compass says 100.0°, so it is 109.0° grid." in lines
    assert any(line.startswith("Grid to magnetic: subtract 9.0°") for line in lines)


def test_a_westerly_one_is_subtracted():
    lines = north_words.conversions(norths(declination_deg=-10.0, convergence_deg=-1.0))
    assert any(line.startswith("Magnetic to grid: subtract 9.0°") for line in lines)
    assert any(line.startswith("Magnetic to true: subtract 10.0°") for line in lines)


def test_where_no_compass_can_be_used_nothing_is_converted():
    place = norths(horizontal_nt=1999.0)
    assert north_words.conversions(place) == []
    assert "unusable" in north_words.warnings(place)[0]


@pytest.mark.parametrize(
    ("field_nt", "words"), [(1999.9, "unusable"), (2000.0, "caution"), (5999.9, "caution")]
)
def test_a_weak_field_is_warned_of(field_nt, words):
    assert words in north_words.warnings(norths(horizontal_nt=field_nt))[0]


def test_a_strong_field_well_before_the_end_of_the_model_needs_no_warning():
    assert north_words.warnings(norths(horizontal_nt=6000.0)) == []


def test_the_end_of_the_model_is_said_before_and_after():
    soon = norths_at(latitude_deg=45, longitude_deg=8, elevation_m=0, as_of=date(2029, 12, 1))
    past = norths_at(latitude_deg=45, longitude_deg=8, elevation_m=0, as_of=date(2030, 1, 1))
    assert "ends on 31 December 2029" in north_words.notes(soon)[0]
    assert north_words.warnings(soon) == north_words.notes(past) == []
    assert "end on 31 December 2029" in north_words.warnings(past)[0]
    assert (
        "goes back"
        in north_words.warnings(
            norths_at(latitude_deg=45, longitude_deg=8, elevation_m=0, as_of=date(2009, 1, 1))
        )[0]
    )


def test_angles_are_named_with_side_uncertainty_and_yearly_change():
    rows = dict(north_words.angle_rows(norths(convergence_deg=-1.74)))
    assert rows["Declination (magnetic from true north)"] == "10.0° east (right)"
    assert rows["Its standard uncertainty"] == "±0.35°"
    assert rows["Its change"] == "0.12° a year, to the east"
    assert rows["Grid convergence (grid from true north), UTM zone 32"] == "1.7° west (left)"
    assert rows["Grid-magnetic angle (magnetic from grid north)"] == "11.7° east (right)"


def test_a_change_too_small_to_print_is_said_in_words():
    assert north_words.yearly_change(0.004) == "less than 0.01° a year"
    assert north_words.yearly_change(-0.1) == "0.10° a year, to the west"


@pytest.mark.parametrize("place", PLACES)
def test_every_angle_of_the_place_stands_on_the_diagram_and_nothing_runs_off_it(place):
    found = norths_at(latitude_deg=place[0], longitude_deg=place[1], elevation_m=0.0, as_of=IN_2026)
    drawing = north_diagram(found)
    assert f"{abs(found.declination_deg):.1f}°" in said(found)
    for shape in strings(drawing):
        left, bottom, right, top = shape.getBounds()
        assert left >= 0.0 and right <= drawing.width
        assert bottom >= 0.0 and top <= drawing.height


def test_small_angles_are_widened_and_the_diagram_says_so():
    assert "not drawn to scale" in said(norths(declination_deg=3.0, convergence_deg=-1.0))
    assert "drawn to scale." in said(norths(declination_deg=20.0, convergence_deg=-20.0))
    assert "not" not in said(norths(declination_deg=20.0, convergence_deg=-20.0))


def test_without_a_model_or_a_grid_the_rest_is_drawn():
    without = norths(declination_deg=None, uncertainty_deg=None, yearly_change_deg=None, model="")
    assert "MN" not in said(without) and "GN" in said(without)
    off_grid = norths(convergence_deg=None, zone=None)
    assert "GN" not in said(off_grid) and "MN" in said(off_grid)


@given(st.floats(-180.0, 180.0), st.floats(-10.0, 10.0))
def test_lines_keep_their_order_and_can_be_told_apart(declination_deg, convergence_deg):
    angles = sorted([0.0, declination_deg, convergence_deg])
    shown = shown_angles(angles)
    assert shown[angles.index(0.0)] == 0.0
    assert max(map(abs, shown)) <= MOST_SHOWN_DEG
    for (before, after), (at, then) in zip(pairwise(angles), pairwise(shown), strict=True):
        apart = after - before >= TOGETHER_DEG
        assert then - at >= LEAST_SHOWN_DEG - 1e-9 if apart else then == at
