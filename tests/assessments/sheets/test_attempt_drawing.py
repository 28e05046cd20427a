"""The drawing against the numbers: bearings, scale, and room for every label."""

import math
from itertools import combinations, pairwise

import pytest
from reportlab.graphics.shapes import Circle, Drawing, Line, PolyLine, Rect, String, Wedge

from assessments.sheets import fonts
from assessments.sheets.attempt_drawing import attempt_drawing
from assessments.sheets.lettering import PAPER, SCREEN, SCREEN_WIDTH
from assessments.sheets.placing import Box
from assessments.sheets.shapes import tag_of
from tests.assessments.sheets.builders import (
    a_drawing,
    a_mark,
    a_sun,
    awkward_drawings,
    every_method,
)

CASES = every_method() | awkward_drawings()
SIZES = {
    "wide": (520.0, 400.0),
    "narrow": (350.0, 470.0),
    "paper": (482.0, 262.0),
    "screen": (SCREEN_WIDTH, 4.0 * SCREEN_WIDTH),
}


def made_of(drawing, size="wide", zone="Europe/Oslo") -> Drawing:
    width, height = SIZES[size]
    lettering = SCREEN if size == "screen" else PAPER
    return attempt_drawing(drawing, width=width, height=height, zone=zone, lettering=lettering)


def tagged(made: Drawing, name: str, kind=Line) -> list:
    return [
        part for part in made.contents if isinstance(part, kind) and name in tag_of(part).split()
    ]


def bearing_of(line: Line) -> float:
    return math.degrees(math.atan2(line.x2 - line.x1, line.y2 - line.y1)) % 360.0


def the_ray(made: Drawing, kind: str) -> Line:
    """The line of that kind from the middle of the rose, not its sample in the legend."""
    centre = centre_of(made)
    (ray,) = [
        line
        for line in tagged(made, f"drawing-{kind}")
        if math.dist((line.x1, line.y1), centre) < 0.01
    ]
    return ray


def centre_of(made: Drawing) -> tuple[float, float]:
    rim = tagged(made, "drawing-rim", Circle)[0]
    return rim.cx, rim.cy


def saltires(made: Drawing) -> list[tuple[float, float]]:
    """The crossings of the marks on the ground, in order."""
    strokes = tagged(made, "drawing-mark")
    middles = [((s.x1 + s.x2) / 2, (s.y1 + s.y2) / 2) for s in strokes[::2]]
    return [m for m in middles if math.dist(m, centre_of(made)) < inner_radius(made)]


def inner_radius(made: Drawing) -> float:
    return min(rim.r for rim in tagged(made, "drawing-rim", Circle))


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize(
    ("kind", "key"), [("laid", "laid_deg"), ("method", "method_deg"), ("asked", "target_deg")]
)
def test_lines_point_where_the_numbers_say(name, kind, key):
    made = made_of(CASES[name])
    difference = (bearing_of(the_ray(made, kind)) - CASES[name][key] + 180.0) % 360.0 - 180.0
    assert abs(difference) < 0.01


@pytest.mark.parametrize("size", SIZES)
def test_marks_lie_to_one_scale_with_north_up(size):
    drawing = a_drawing(marks=[a_mark("07:00", 88.1, 35.2), a_mark("09:00", 120.0, 50.0)])
    made = made_of(drawing, size)
    cx, cy = centre_of(made)
    ratios = [
        (x - cx) / mark["east_m"]
        for (x, _y), mark in zip(saltires(made), drawing["marks"], strict=True)
    ] + [
        (y - cy) / mark["north_m"]
        for (_x, y), mark in zip(saltires(made), drawing["marks"], strict=True)
    ]
    assert ratios == pytest.approx([ratios[0]] * 4)
    assert ratios[0] > 0


def test_the_scale_bar_has_the_length_it_names():
    drawing = a_drawing(marks=[a_mark("07:00", 88.1, 35.2), a_mark("09:00", 120.0, 50.0)])
    made = made_of(drawing)
    cx, _cy = centre_of(made)
    per_metre = (saltires(made)[0][0] - cx) / drawing["marks"][0]["east_m"]
    length = sum(half.width for half in tagged(made, "drawing-scale", Rect))
    assert f"{length / per_metre:g} m" in [
        text.text for text in tagged(made, "drawing-scale", String)
    ]


@pytest.mark.parametrize("elevation_deg", [2.8624, 5.0, 20.0, 45.0, 73.3008])
def test_shadows_of_any_length_stay_inside_the_rose(elevation_deg):
    marks = [a_mark("07:00", 100.0, elevation_deg), a_mark("07:15", 103.0, elevation_deg + 1)]
    made = made_of(a_drawing(marks=marks))
    longest = max(math.dist(mark, centre_of(made)) for mark in saltires(made))
    assert longest == pytest.approx(0.70 * inner_radius(made))


def test_the_line_through_the_marks_passes_through_both():
    made = made_of(a_drawing())
    first, second = saltires(made)
    expected = math.degrees(math.atan2(second[0] - first[0], second[1] - first[1])) % 180.0
    chord = next(
        line
        for line in tagged(made, "drawing-chord")
        if math.dist((line.x1, line.y1), centre_of(made)) < inner_radius(made)
    )
    assert bearing_of(chord) % 180.0 == pytest.approx(expected, abs=0.01)


def test_the_wedge_is_as_wide_as_the_check_is_unsure():
    (wedge,) = tagged(
        made_of(a_drawing(laid_deg=10.0, uncertainty_deg=4.0)), "drawing-wedge", Wedge
    )
    assert (wedge.startangledegrees, wedge.endangledegrees) == pytest.approx((76.0, 84.0))


def test_an_exact_check_has_no_wedge():
    made = made_of(a_drawing(uncertainty_deg=0.0))
    assert not [part for part in made.contents if "wedge" in tag_of(part)]


def test_the_sun_stands_opposite_its_shadow():
    drawing = CASES["shortest-shadow"]
    made = made_of(drawing)
    cx, cy = centre_of(made)
    sun = next(
        ring
        for ring in tagged(made, "drawing-sun", Circle)
        if inner_radius(made) < math.dist((ring.cx, ring.cy), (cx, cy)) < inner_radius(made) + 60
    )
    bearing = math.degrees(math.atan2(sun.cx - cx, sun.cy - cy)) % 360.0
    assert bearing == pytest.approx(drawing["marks"][0]["sun_azimuth_deg"], abs=0.01)


def test_hands_show_the_real_sun_and_where_the_rule_supposes_it():
    words = [part.text for part in made_of(CASES["hands"]).contents if isinstance(part, String)]
    assert {"117.7°", "135.0°", "Rule’s sun", "Sun 10:00"} <= set(words)


def test_marks_are_labelled_with_the_time_of_the_zone():
    words = [part.text for part in made_of(a_drawing()).contents if isinstance(part, String)]
    assert {"09:00", "09:15"} <= set(words)


def test_marks_of_two_days_carry_their_date():
    made = made_of(CASES["opposite way"], zone="Europe/London")
    words = [part.text for part in made.contents if isinstance(part, String)]
    assert {"21 Jun 23:30", "22 Jun 01:40"} <= set(words)


def test_computed_times_are_shown_to_the_minute():
    mark = a_mark("07:00", 88.1, 35.2) | {
        "recorded": False,
        "time": "2026-06-21T07:00:41+00:00",
    }
    made = made_of(a_drawing("shortest-shadow", [mark]), zone="UTC")
    assert "07:01" in [part.text for part in made.contents if isinstance(part, String)]


def test_sloping_ground_is_drawn_with_its_fall():
    made = made_of(a_drawing(slope_deg=6.0, downhill_deg=210.0))
    words = [part.text for part in tagged(made, "drawing-slope", String)]
    assert words == ["ground falls 6.0°", "towards 210°"]
    (shaft,) = tagged(made, "drawing-slope")
    assert bearing_of(shaft) == pytest.approx(210.0)


def test_level_ground_has_no_slope_arrow():
    made = made_of(a_drawing())
    assert not [part for part in made.contents if "slope" in tag_of(part)]


def test_lines_differ_by_pattern_not_by_colour():
    made = made_of(a_drawing())
    patterns = [
        (ray.strokeDashArray and tuple(ray.strokeDashArray), ray.strokeWidth)
        for ray in (the_ray(made, kind) for kind in ("laid", "method", "asked"))
    ]
    assert len(set(patterns)) == 3


def test_lines_on_top_of_one_another_end_at_different_lengths():
    made = made_of(CASES["lines on top of one another"])
    reaches = [
        math.dist((ray.x1, ray.y1), (ray.x2, ray.y2))
        for ray in (the_ray(made, kind) for kind in ("laid", "method", "asked"))
    ]
    assert reaches == sorted(reaches)
    assert min(b - a for a, b in pairwise(reaches)) > 4.0


def text_boxes(made: Drawing) -> list[tuple[str, Box]]:
    found = []
    for part in made.contents:
        if isinstance(part, String):
            width = fonts.text_width(part.text, part.fontSize, part.fontName)
            left = part.x - {"start": 0.0, "middle": width / 2, "end": width}[part.textAnchor]
            # Figures and capitals: from the baseline to their height.
            box = Box(left, part.y, left + width, part.y + part.fontSize * 0.7)
            found.append((part.text, box))
    return found


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", CASES)
def test_no_text_lies_over_another_or_outside(name, size):
    made = made_of(CASES[name], size)
    boxes = text_boxes(made)
    frame = (made.width, made.height)
    outside = [
        words
        for words, box in boxes
        if box.left < 0 or box.bottom < 0 or box.right > frame[0] or box.top > frame[1]
    ]
    over = [(a, b) for (a, one), (b, two) in combinations(boxes, 2) if one.overlaps(two)]
    assert (outside, over) == ([], [])


@pytest.mark.parametrize("name", CASES)
def test_on_a_screen_no_letters_are_small(name):
    made = made_of(CASES[name], "screen")
    # A phone of 390 px shows a point of the drawing as 1.04 px.
    assert min(part.fontSize for part in made.contents if isinstance(part, String)) >= 11.5


@pytest.mark.parametrize("size", ["narrow", "screen"])
@pytest.mark.parametrize("laid_deg", range(0, 360, 15))
def test_labels_find_room_whatever_the_error(laid_deg, size):
    drawing = a_drawing(
        "watch", [a_sun("10:00", 120.0, 30.0)], laid_deg=float(laid_deg), assumed_sun_deg=118.0
    )
    boxes = text_boxes(made_of(drawing, size))
    assert not [(a, b) for (a, one), (b, two) in combinations(boxes, 2) if one.overlaps(two)]


@pytest.mark.parametrize("size", SIZES)
def test_a_drawing_is_as_wide_as_asked_and_no_taller(size):
    made = made_of(a_drawing(), size)
    assert made.width == SIZES[size][0]
    assert made.height <= SIZES[size][1]


@pytest.mark.parametrize("nothing", [None, {}])
def test_nothing_recorded_gives_an_empty_rose_with_degrees(nothing):
    made = made_of(nothing)
    assert not [part for part in made.contents if "laid" in tag_of(part)]
    assert len(tagged(made, "drawing-tick")) == 360
    assert {"N", "E", "S", "W", "30", "330"} <= {
        part.text for part in made.contents if isinstance(part, String)
    }


@pytest.mark.parametrize("drawing", [None, a_drawing()], ids=["empty", "attempt"])
def test_too_little_room_is_refused(drawing):
    with pytest.raises(ValueError, match="too little room"):
        attempt_drawing(drawing, width=90, height=90)


def test_the_turn_from_the_supposed_to_the_real_sun_is_an_arc():
    (arc, _head) = tagged(made_of(CASES["hands"]), "drawing-turn", PolyLine)
    assert len(arc.points) >= 6
