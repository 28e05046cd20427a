"""The lines of a day and the map around the picture: what is drawn where."""

import re
from datetime import date
from io import BytesIO
from itertools import combinations

import numpy as np
import pytest
from django.conf import settings
from PIL import Image
from pypdf import PdfReader
from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import String

from assessments.sheets import fonts, tints
from assessments.sheets.day_lines import day_lines
from assessments.sheets.placing import Box
from assessments.sheets.shapes import tag_of
from assessments.sheets.svg import UnwritableShapeError, to_svg
from assessments.sheets.year_map import PAPER_SHEET, SCREEN_SHEET, Frame, legend, year_map
from assessments.sheets.year_picture import Hours

HOURS = Hours(6, 20)
CLOCK = np.arange(480, 960, 10)


def drawn(error, scatter=None, *, clock=CLOCK, tolerance_deg=5.0):
    scatter = np.full(len(error), np.nan) if scatter is None else scatter
    return day_lines(
        hours=HOURS, clock_min=clock, error_deg=np.asarray(error, dtype=float),
        scatter_deg=np.asarray(scatter, dtype=float), tolerance_deg=tolerance_deg,
    )  # fmt: skip


def lines(drawing, name):
    """The lines of a day, without the sample of the key, as lists of points."""
    found = [part for part in drawing.contents if tag_of(part) == name and hasattr(part, "points")]
    return [np.array(part.points).reshape(-1, 2) for part in found]


def test_an_unbroken_day_is_one_line_from_hour_to_hour():
    (points,) = lines(drawn(np.linspace(-4, 4, CLOCK.size)), "day-error")
    frame = Frame(HOURS)
    assert points[0, 0] == pytest.approx(frame.x(480))
    assert points[-1, 0] == pytest.approx(frame.x(950))
    assert points[0, 1] < points[-1, 1]


def test_a_gap_breaks_the_line():
    error = np.ones(CLOCK.size)
    error[20] = np.nan
    assert len(lines(drawn(error), "day-error")) == 2


def test_clocks_put_back_break_the_line():
    clock = CLOCK.copy()
    clock[24:] -= 60
    assert len(lines(drawn(np.ones(CLOCK.size), clock=clock), "day-error")) == 2


def test_a_leap_of_the_rule_is_not_drawn_as_a_line():
    error = np.where(CLOCK < 720, -40.0, 40.0)
    assert len(lines(drawn(error), "day-error")) == 2


def test_a_method_without_marks_has_no_line_of_scatter():
    assert lines(drawn(np.ones(CLOCK.size)), "day-scatter") == []
    assert lines(drawn(np.ones(CLOCK.size), np.ones(CLOCK.size)), "day-scatter")


def test_a_day_without_any_value_is_drawn_all_the_same():
    assert lines(drawn(np.full(CLOCK.size, np.nan)), "day-error") == []


@pytest.mark.parametrize("span", [(0, 24), (8, 16), (11, 13)])
def test_named_hours_lie_within_the_drawing(span):
    frame = Frame(Hours(*span))
    places = [frame.x(hour * 60.0) for hour in frame.labelled]
    assert 2 <= len(places) <= 10
    assert 0 < min(places) <= max(places) < frame.sheet.width


def test_the_map_on_a_page_fetches_its_picture_by_an_address():
    svg = to_svg(
        year_map(hours=HOURS, year=2026, day=date(2026, 6, 17), href="/a.png?b=1&c=2"),
        prefix="map", title="A year",
    )  # fmt: skip
    assert 'href="/a.png?b=1&amp;c=2"' in svg
    assert svg.count("<image") == 1
    assert "style=" not in svg


def test_a_picture_without_an_address_cannot_stand_on_a_page():
    made = year_map(hours=HOURS, year=2026, day=date(2026, 6, 17))
    with pytest.raises(UnwritableShapeError):
        to_svg(made, prefix="map", title="A year")


def test_the_map_on_paper_takes_the_picture_itself():
    picture = Image.new("P", (84 * 6, 730))
    made = year_map(hours=HOURS, year=2026, day=date(2026, 6, 17), picture=picture)
    (printed,) = PdfReader(BytesIO(renderPDF.drawToString(made))).pages[0].images
    assert printed.image.size == picture.size


@pytest.mark.parametrize("scale", tints.SCALES.values(), ids=tints.SCALES)
def test_the_legend_names_the_degrees_and_the_tolerance(scale):
    svg = to_svg(legend(scale, tolerance_deg=12.5), prefix="key", title="Key")
    assert "beyond the tolerance of 12.5°" in svg
    assert all(f">{label}<" in svg for label in scale.labels)
    assert all(colour in svg for colour in scale.colours)


def box_of(part):
    width = fonts.text_width(part.text, part.fontSize, part.fontName)
    left = part.x - {"start": 0.0, "middle": width / 2, "end": width}[part.textAnchor]
    return Box(left, part.y, left + width, part.y + part.fontSize * 0.7)


@pytest.mark.parametrize("sheet", [PAPER_SHEET, SCREEN_SHEET], ids=["paper", "screen"])
@pytest.mark.parametrize("kind", ["map", "legend", "day"])
def test_words_stand_apart_and_inside(kind, sheet):
    made = {
        "map": lambda: year_map(hours=HOURS, year=2026, day=date(2026, 6, 17), sheet=sheet),
        "legend": lambda: legend(tints.SIZE, tolerance_deg=12.5, sheet=sheet),
        "day": lambda: day_lines(
            hours=HOURS, clock_min=CLOCK, error_deg=np.ones(CLOCK.size),
            scatter_deg=np.ones(CLOCK.size), tolerance_deg=5.0, sheet=sheet,
        ),
    }[kind]()  # fmt: skip
    boxes = [(part.text, box_of(part)) for part in made.contents if isinstance(part, String)]
    assert not [(a, b) for (a, one), (b, two) in combinations(boxes, 2) if one.overlaps(two)]
    assert min(box.left for _words, box in boxes) >= 0.0
    assert max(box.right for _words, box in boxes) <= made.width


def test_the_script_reads_the_map_where_it_is_drawn():
    script = (settings.BASE_DIR / "static" / "planner.js").read_text(encoding="utf-8")
    found = {
        name: float(number)
        for name, number in re.findall(r"(left|right|width|top|bottom): (\d+)", script)
    }
    assert found == {name: getattr(SCREEN_SHEET, name) for name in found}
    assert len(found) == 5
