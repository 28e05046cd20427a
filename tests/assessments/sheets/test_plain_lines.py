"""Paragraphs laid out once, beside the same by reportlab alone; read back with pikepdf."""

from io import BytesIO

import pytest
from reportlab.lib.colors import Color, red
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import paragraph

from assessments.sheets import fonts
from assessments.sheets.layout import STYLES
from assessments.sheets.operators import Letters
from assessments.sheets.plain_lines import is_plain, laid
from assessments.sheets.tagging import Paragraph
from tests.benchmarks.bare_pages import Mark, marks_of

PROSE = (
    "The rule looks at the newest attempts only, so that unlimited tries certify no one; an "
    "attempt that is too close to call counts neither way, and a lead may order one repeat: 12°."
)
WIDTH = 171.3


def marks(made: paragraph.Paragraph, *, plain: bool) -> list[Mark]:
    fonts.register()
    out = BytesIO()
    canvas = Canvas(out, initialFontName=fonts.REGULAR)
    if plain:
        canvas.letters = Letters(canvas._doc)
    _width, height = made.wrap(WIDTH, 900)
    made.drawOn(canvas, 40.25, 700 - height)
    canvas.showPage()
    canvas.save()
    return marks_of(out.getvalue(), (fonts.REGULAR, fonts.BOLD))[0]


def about(values: tuple) -> object:
    return pytest.approx(values, abs=0.01)


def seen(mark: Mark, told=tuple) -> tuple:
    at = told(mark.path[0][1])
    return mark.text.rstrip(), mark.pen.font, mark.pen.size, mark.pen.fill, at


@pytest.mark.parametrize("name", list(STYLES))
@pytest.mark.parametrize("bullet", [None, "•"])
def test_lines_break_and_stand_where_reportlab_has_them(name, bullet):
    fonts.register()
    made = Paragraph(PROSE, STYLES[name], bulletText=bullet)
    theirs = paragraph.Paragraph(PROSE, STYLES[name], bulletText=bullet)
    ours = [seen(mark) for mark in marks(made, plain=True)]
    assert len(ours) > 3
    assert ours == [seen(mark, about) for mark in marks(theirs, plain=False)]


def test_spaces_are_drawn_together_where_reportlab_does():
    fonts.register()
    style = STYLES["body"]
    narrow = [
        width for width in range(120, 260)
        if any(spare < -1e-8 for spare, _words in laid(PROSE, style, "", width).broken.lines)
    ]  # fmt: skip
    made = laid(PROSE, style, "", narrow[0])
    told = made.operators(Letters(Canvas(BytesIO())._doc), 0, 0)
    assert " Tw BT" in told
    assert told.count(" Tw") == 2 * sum(spare < -1e-8 for spare, _words in made.broken.lines)


def test_a_paragraph_can_still_be_split_between_pages():
    fonts.register()
    made = Paragraph(PROSE, STYLES["body"])
    _width, height = made.wrap(WIDTH, 900)
    first, second = made.split(WIDTH, height / 2)
    assert first.wrap(WIDTH, 900)[1] + second.wrap(WIDTH, 900)[1] == pytest.approx(height)


@pytest.mark.parametrize("text", ["", "  ", "a <b>b</b>", "fish &amp; chips"])
def test_markup_and_nothing_are_left_to_reportlab(text):
    assert not is_plain(text, STYLES["body"])


@pytest.mark.parametrize(
    "more",
    [
        {"alignment": 1},
        {"alignment": 4},
        {"backColor": red},
        {"textColor": Color(0, 0, 0, alpha=0.5)},
        {"bulletColor": red},
        {"bulletAnchor": "end"},
        {"wordWrap": "CJK"},
        {"endDots": "."},
    ],
    ids=lambda more: next(iter(more)),
)
def test_a_style_that_asks_for_more_is_left_to_reportlab(more):
    assert not is_plain("words", ParagraphStyle("more", **more))


def test_the_same_words_are_laid_out_once():
    style = STYLES["small"]
    assert laid("Once.", style, "", 100.0) is laid("Once.", style, "", 100.0)
