"""Names around a rose: room for each, close to its mark, none over another or over the rose."""

import math
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessments.sheets import around, rose
from assessments.sheets.lettering import SCREEN, SCREEN_WIDTH
from assessments.sheets.placing import Box
from assessments.sheets.rose import RimLabel

KINDS = ("asked", "laid", "method", "assumed-sun", "sun", "sun", "sun", "sun")


def on_a_screen(bearings) -> list[RimLabel]:
    labels = []
    for bearing, kind in zip(bearings, KINDS, strict=False):
        words = ("Soleil" if "sun" in kind else "Demandé", "123,4°")
        labels.append(RimLabel(bearing, words, kind, 0.0, SCREEN))
    return rose.staggered(labels)


def distance_to_the_middle(box: Box) -> float:
    return math.hypot(*box.nearest_to((0.0, 0.0)))


@given(st.lists(st.floats(0.0, 359.99), min_size=3, max_size=len(KINDS)))
def test_names_stand_outside_the_rose_inside_the_drawing_and_apart(bearings):
    labels = on_a_screen(bearings)
    found = around.laid_out(labels, SCREEN_WIDTH)
    assert found is not None
    assert len(found.boxes) == len(labels)
    for label, box in zip(labels, found.boxes, strict=True):
        assert box.left >= -found.left - 0.01
        assert box.right <= SCREEN_WIDTH - found.left + 0.01
        assert box.right - box.left >= label.width
        assert distance_to_the_middle(box) >= found.radius + SCREEN.band
    assert not [pair for pair in combinations(found.boxes, 2) if pair[0].overlaps(pair[1])]


@pytest.mark.parametrize("bearing", [0.0, 45.0, 135.0, 180.0, 220.0, 315.0])
def test_a_name_alone_stands_by_its_mark(bearing):
    labels = on_a_screen([bearing])
    found = around.laid_out(labels, SCREEN_WIDTH)
    mark = rose.mark_middle((0.0, 0.0), found.radius, labels[0])
    assert math.dist(mark, found.boxes[0].nearest_to(mark)) < 40.0


def test_the_rose_makes_way_where_all_is_to_one_side():
    beside = around.laid_out(on_a_screen([90.0, 80.0, 100.0, 110.0]), SCREEN_WIDTH)
    spread = around.laid_out(on_a_screen([0.0, 3.0, 357.0, 180.0]), SCREEN_WIDTH)
    assert beside.left < SCREEN_WIDTH / 2 == spread.left
    assert beside.radius < spread.radius


def test_no_mark_is_written_over():
    labels = on_a_screen([0.0, 1.0, 359.0, 10.0, 20.0])
    found = around.laid_out(labels, SCREEN_WIDTH)
    marks = [rose.mark_middle((0.0, 0.0), found.radius, label) for label in labels]
    assert not [
        (mark, box) for mark in marks for box in found.boxes if box.nearest_to(mark) == mark
    ]
