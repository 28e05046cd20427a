"""The marks that a drawing leaves on a page, beside those of reportlab's own renderer.

Both files are read back with pikepdf; places are compared to a hundredth of a point.
"""

from io import BytesIO

import pytest
from reportlab.graphics.shapes import (
    Circle,
    Drawing,
    Ellipse,
    Group,
    Line,
    Path,
    Polygon,
    PolyLine,
    Rect,
    String,
    Wedge,
)
from reportlab.lib.colors import Color, black, white
from reportlab.pdfgen.canvas import Canvas

from assessments.sheets import fonts
from assessments.sheets.operators import Letters, drawing_operators
from assessments.sheets.shapes import grey
from tests.benchmarks.bare_pages import Mark, marks_of

FACES = (fonts.REGULAR, fonts.BOLD, fonts.ARABIC)


def drawing(*shapes) -> Drawing:
    made = Drawing(300, 300)
    for shape in shapes:
        made.add(shape)
    return made


def canvas_on(out: BytesIO) -> Canvas:
    fonts.register()
    return Canvas(out, initialFontName=fonts.REGULAR)


def marks(made: Drawing, *, by_reportlab: bool) -> list[Mark]:
    out = BytesIO()
    canvas = canvas_on(out)
    if by_reportlab:
        made.drawOn(canvas, 0, 0)
    else:
        told = drawing_operators(made, Letters(canvas._doc))
        assert told is not None
        canvas._code.append(told)
    canvas.showPage()
    canvas.save()
    return marks_of(out.getvalue(), FACES)[0]


def about(values: tuple) -> object:
    return pytest.approx(values, abs=0.01)


def seen(mark: Mark, told=tuple) -> tuple:
    """What of a mark can be seen: nothing of a pen that it does not paint with."""
    pen = mark.pen
    painted = [mark.text]
    if mark.text or mark.fills:
        painted.append(told(pen.fill))
    if mark.strokes:
        painted += [told(pen.stroke), told((pen.width,)), pen.dash]
    if mark.text:
        painted += [pen.font, told((pen.size,))]
    places = [(name, told(values)) for name, values in mark.path]
    return tuple(painted), places


def path() -> Path:
    made = Path(fillColor=black, strokeColor=None)
    for x in (10, 60):
        made.moveTo(x, 10)
        made.lineTo(x + 20, 10)
        made.curveTo(x + 30, 20, x + 30, 30, x + 20, 40)
        made.closePath()
    return made


SHAPES = {
    "line": Line(1, 2, 33.3, 44.4, strokeColor=grey(0.35), strokeWidth=0.4),
    "dashed line": Line(1, 2, 3, 4, strokeColor=black, strokeDashArray=[7, 3]),
    "polyline": PolyLine([1, 2, 30, 40, 50, 5], strokeColor=black, strokeWidth=1.1),
    "polygon": Polygon([1, 2, 30, 40, 50, 5], fillColor=black, strokeColor=grey(0.5)),
    "polygon without an edge": Polygon([1, 2, 30, 40, 50, 5], fillColor=black, strokeColor=None),
    "hollow polygon": Polygon([1, 2, 30, 40, 50, 5], fillColor=None, strokeColor=black),
    "rect": Rect(5, 6, 70, 80, fillColor=white, strokeColor=black, strokeWidth=0.9),
    "circle": Circle(50, 60, 12.5, fillColor=None, strokeColor=black),
    "filled circle": Circle(50, 60, 12.5, fillColor=grey(0.9), strokeColor=black),
    "wedge": Wedge(100, 100, 40, 20, 75, fillColor=grey(0.9), strokeColor=grey(0.35)),
    "wide wedge": Wedge(100, 100, 40, -100, 150, fillColor=grey(0.9), strokeColor=None),
    "path": path(),
    "text": String(20, 30, "North (true)", fontName=fonts.BOLD, fontSize=9, fillColor=black),
    "text to the left": String(
        90, 30, "Łódź 12° \\", fontName=fonts.REGULAR, fontSize=8, textAnchor="end",
        fillColor=black,
    ),
    "text around its place": String(
        90, 30, "middle", fontName=fonts.REGULAR, fontSize=8, textAnchor="middle",
        fillColor=grey(0.2),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", list(SHAPES))
def test_a_shape_leaves_the_marks_that_reportlab_leaves(name):
    made = drawing(SHAPES[name])
    ours = [seen(mark) for mark in marks(made, by_reportlab=False)]
    assert ours
    assert ours == [seen(mark, about) for mark in marks(made, by_reportlab=True)]


def test_a_pen_is_told_only_where_it_changes_and_each_shape_has_its_own():
    made = drawing(
        Line(0, 0, 1, 1, strokeColor=black, strokeWidth=2),
        Line(0, 0, 2, 2, strokeColor=black, strokeWidth=2, strokeDashArray=[1, 2]),
        Rect(0, 0, 5, 5, fillColor=white, strokeColor=None),
        Line(0, 0, 3, 3, strokeColor=grey(0.5), strokeWidth=1),
        Circle(5, 5, 5, fillColor=black, strokeColor=grey(0.5), strokeWidth=1),
    )
    ours = [seen(mark) for mark in marks(made, by_reportlab=False)]
    assert ours == [seen(mark, about) for mark in marks(made, by_reportlab=True)]
    told = drawing_operators(made, Letters(Canvas(BytesIO())._doc))
    assert told.count("2 w") == 1


def test_shapes_in_a_group_are_moved_with_it_and_those_behind_it_are_not():
    group = Group(Line(0, 0, 10, 10, strokeColor=grey(0.5), strokeWidth=3))
    group.scale(0.5, 0.5)
    group.translate(20, 30)
    made = drawing(group, Line(0, 0, 10, 10, strokeColor=black, strokeWidth=1))
    ours = [seen(mark) for mark in marks(made, by_reportlab=False)]
    assert ours == [seen(mark, about) for mark in marks(made, by_reportlab=True)]


def test_a_scaled_drawing_is_scaled():
    made = drawing(SHAPES["circle"], SHAPES["text"])
    made.scale(0.4, 0.4)
    ours = [seen(mark) for mark in marks(made, by_reportlab=False)]
    assert ours == [seen(mark, about) for mark in marks(made, by_reportlab=True)]


@pytest.mark.parametrize(
    "shape",
    [
        Ellipse(10, 10, 5, 8),
        Rect(0, 0, 9, 9, rx=2, ry=2),
        Line(0, 0, 1, 1, strokeLineCap=1),
        Line(0, 0, 1, 1, strokeDashArray=[2, [1, 1]]),
        Rect(0, 0, 9, 9, fillColor=Color(0, 0, 0, alpha=0.5)),
        Rect(0, 0, 9, 9, fillOpacity=0.5),
        Wedge(9, 9, 5, 0, 90, radius1=2),
        String(0, 0, "x", textAnchor="numeric"),
    ],
    ids=lambda shape: type(shape).__name__,
)
def test_what_is_not_known_is_left_to_reportlab(shape):
    fonts.register()
    assert drawing_operators(drawing(shape), Letters(Canvas(BytesIO())._doc)) is None


def test_a_length_that_is_no_number_is_an_error():
    made = drawing(Line(0, 0, float("nan"), 1, strokeColor=black))
    with pytest.raises(ValueError, match="cannot be drawn"):
        drawing_operators(made, Letters(Canvas(BytesIO())._doc))


def test_arabic_letters_stand_in_their_own_face():
    canvas = canvas_on(BytesIO())
    parts = Letters(canvas._doc).parts(fonts.REGULAR, fonts.printable("A \u0646\u0648\u0631 B"))
    regular, arabic, after = (name for name, _string in parts)
    assert regular == after != arabic


def test_words_in_ascii_are_told_as_they_are():
    canvas = canvas_on(BytesIO())
    ((_name, told),) = Letters(canvas._doc).parts(fonts.REGULAR, r"a (b) \c")
    assert told == r"(a \(b\) \\c)"
