"""Drawings of legs, positions and the sky: to scale, inside their room, said in words."""

import math
from itertools import pairwise

import pytest
from reportlab.graphics.shapes import Line, String

from assessments.sheets.said import drawn
from assessments.sheets.sky import Sky
from assessments.sheets.svg import to_svg
from assessments.sheets.travel_drawing import travel_drawing
from assessments.sheets.travel_words import quantity, tolerance


def point(kind, east_m, north_m):
    return {"kind": kind, "east_m": east_m, "north_m": north_m}


def a_leg(east_m=120.0, north_m=580.0, **changes):
    points = [point("start", 0, 0), point("goal", 100, 600), point("arrival", east_m, north_m)]
    return {"method": "compass-leg", "points": points, "uncertainty_m": 8.0} | changes


def a_position(east_m=-50.0, north_m=30.0):
    points = [point("true", 0, 0), point("plotted", east_m, north_m)]
    return {"method": "position", "points": points, "uncertainty_m": 6.0, "tolerance_m": 100.0}


DRAWINGS = {
    "leg": a_leg(),
    "leg with tolerance": a_leg(tolerance_m=40.0),
    "leg that hit": a_leg(100.0, 600.0),
    "leg walked back": a_leg(-100.0, -600.0),
    "position": a_position(),
    "position on the point": a_position(0.0, 0.0),
    "position far off": a_position(4000.0, -900.0),
}


@pytest.mark.parametrize("width", [352.0, 499.0])
@pytest.mark.parametrize("drawing", DRAWINGS.values(), ids=DRAWINGS)
def test_everything_stays_inside(drawing, width):
    made = travel_drawing(drawing, width=width, height=2.0 * width)
    left, bottom, right, top = made.getBounds()
    assert left >= -1.0
    assert bottom >= -1.0
    assert right <= made.width + 1.0
    assert top <= made.height + 1.0
    assert made.width == width


def test_points_that_fall_together_are_not_a_division_by_nothing():
    assert "Goal" in labels(travel_drawing(a_leg(100.0, 600.0), width=499.0, height=600.0))


def test_a_leg_says_how_far_short_and_aside():
    found = labels(travel_drawing(a_leg(), width=499.0, height=600.0))
    along, across = (20 * 100 - 20 * 600) / math.hypot(100, 600), 0.0
    across = (20 * 600 + 20 * 100) / math.hypot(100, 600)
    assert f"{abs(along):.0f} m short" in found
    assert f"{across:.0f} m right" in found


def test_too_little_room_is_refused():
    with pytest.raises(ValueError, match="too little room"):
        travel_drawing(a_leg(), width=352.0, height=200.0)


def test_nothing_is_drawn_of_a_checklist():
    assert drawn({}, width=352.0, height=600.0, zone="UTC") is None


def test_the_drawing_is_strict_svg():
    made = travel_drawing(a_position(), width=352.0, height=700.0)
    text = to_svg(made, prefix="a", title="T", description="D")
    assert " style=" not in text
    assert "drawing-plotted" in text


def labels(made) -> set[str]:
    return {shape.text for shape in made.contents if isinstance(shape, String)}


def a_sky():
    stars = [(132.1, 47.2), (140.8, 48.9), (181.7, 47.4)]
    listed = [{"azimuth_deg": az, "elevation_deg": el} for az, el in stars]
    return Sky.of({"method": "southern-cross", "stars": listed}, (0.0, 0.0), 90.0)


def test_a_star_stands_a_degree_a_point_from_overhead():
    sky = a_sky()
    assert math.hypot(*sky.places[0]) == pytest.approx(90.0 - 47.2)
    assert math.degrees(math.atan2(*sky.places[0])) == pytest.approx(132.1)


def test_the_point_is_dropped_straight_to_the_rim():
    first, second = a_sky().drop
    assert math.hypot(*second) == pytest.approx(90.0)
    assert math.atan2(*first) == pytest.approx(math.atan2(*second))


def test_the_axis_runs_by_acrux():
    sky = a_sky()
    nearest = min(
        math.dist(sky.places[1], ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))
        for a, b in pairwise(sky.axis)
    )
    assert nearest < 4.0
    assert all(isinstance(shape, Line) for shape in list(sky.shapes())[:3])


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        (2.14, "deg", "2.1°"),
        (-0.04, "percent", "0.0 %"),
        (-3.14, "percent", "−3.1 %"),
        (9.94, "m", "9.9 m"),
        (38.4, "m", "38 m"),
        (3.0, "steps", "3"),
    ],
)
def test_a_quantity_has_its_unit(value, unit, words):
    assert quantity(value, unit) == words


@pytest.mark.parametrize(
    ("value", "unit", "words"), [(7.5, "deg", "7.5°"), (5.0, "percent", "5 %"), (50.0, "m", "50 m")]
)
def test_a_tolerance_is_written_as_it_was_set(value, unit, words):
    assert tolerance(value, unit) == words
