"""The charts of a record: letters for a phone or for paper, figures that are short, words apart."""

from datetime import date, timedelta
from itertools import combinations

import pytest
from reportlab.graphics.shapes import Drawing, String

from assessments.sheets import fonts
from assessments.sheets.lettering import PAPER, SCREEN, SCREEN_WIDTH
from assessments.sheets.placing import Box
from assessments.sheets.record_axes import TOPS, Legend, broken, step_of, words_width
from assessments.sheets.record_groups import StripRow, strips_drawing
from assessments.sheets.record_history import NARROW, WIDE, HistoryMark, history_drawing
from assessments.sheets.record_rose import error_rose


def marks(number: int, error_deg: float = 3.0) -> list[HistoryMark]:
    return [
        HistoryMark(
            day=date(2026, 6, 21) + timedelta(days=3 * n),
            error_deg=error_deg,
            method_error_deg=1.0,
            own_error_deg=error_deg - 1.0,
            expanded_u_deg=1.5,
            tolerance_deg=4.0,
            assessed=n % 3 > 0,
            swapped=False,
        )
        for n in range(number)
    ]


def strips(lettering, error_deg=2.0) -> Drawing:
    rows = [
        StripRow(name, (error_deg, -1.0), None) for name in ("shadow-tip line", "equal shadows")
    ]
    return strips_drawing(rows, lettering=lettering)


def rose(lettering) -> Drawing:
    return error_rose([2.0, -90.0], found=None, width=SCREEN_WIDTH, lettering=lettering)


DRAWINGS = {
    "history, narrow": lambda lettering: history_drawing(
        marks(14), width=NARROW, mean_deg=1.0, lettering=lettering
    ),
    "history, wide": lambda lettering: history_drawing(
        marks(26), width=WIDE, mean_deg=1.0, lettering=lettering
    ),
    "strips": strips,
    "rose": rose,
}


def texts(made: Drawing) -> list[String]:
    return [part for part in made.contents if isinstance(part, String)]


def box_of(part: String) -> Box:
    width = fonts.text_width(part.text, part.fontSize, part.fontName)
    left = part.x - {"start": 0.0, "middle": width / 2, "end": width}[part.textAnchor]
    return Box(left, part.y, left + width, part.y + part.fontSize * 0.7)


@pytest.mark.parametrize("name", DRAWINGS)
def test_letters_are_larger_on_a_screen(name):
    sizes = [
        min(part.fontSize for part in texts(DRAWINGS[name](lettering)))
        for lettering in (PAPER, SCREEN)
    ]
    # A phone of 390 px shows a point as 1.04 px.
    assert sizes[0] < 11.0 < 11.5 < sizes[1]


@pytest.mark.parametrize("lettering", [PAPER, SCREEN], ids=["paper", "screen"])
@pytest.mark.parametrize("name", DRAWINGS)
def test_words_stand_apart_and_inside(name, lettering):
    made = DRAWINGS[name](lettering)
    boxes = {part.text: box_of(part) for part in texts(made)}
    assert not [(a, b) for a, b in combinations(boxes, 2) if boxes[a].overlaps(boxes[b])]
    assert min(box.left for box in boxes.values()) >= 0.0
    assert max(box.right for box in boxes.values()) <= made.width


@pytest.mark.parametrize("top_deg", TOPS)
def test_an_axis_is_told_in_figures_of_half_a_degree_at_least(top_deg):
    step = step_of(top_deg)
    assert step * 2 == int(step * 2) and top_deg / step in (2, 3)


def test_figures_at_the_axes_of_a_screen_are_short():
    for made in (strips(SCREEN), history_drawing(marks(5), width=NARROW, lettering=SCREEN)):
        figures = [part.text for part in texts(made) if part.text.endswith("°")]
        assert "2.5°" in figures
        assert max(len(each.split()[-1]) for each in figures) <= len("2.5°")


def test_words_too_long_for_a_legend_are_broken_on_a_screen_only():
    said = "mean of the sound lines with the interval that holds it 95 times of a hundred"
    heights = [
        Legend([("mean", said)], left=0.0, width=200.0, lettering=lettering).height
        / lettering.chart
        for lettering in (PAPER, SCREEN)
    ]
    assert heights[1] > 2 * heights[0]


def test_broken_words_lose_none_and_fit():
    said = "above the middle to the right, below it to the left"
    lines = broken(said, 120.0, 13.0)
    assert " ".join(lines) == said
    assert max(words_width(each, 13.0) for each in lines) <= 120.0
