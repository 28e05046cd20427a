"""reportlab shapes as SVG: what is written, how it is turned, and what is refused."""

import re
from xml.etree import ElementTree

import pytest
from reportlab.graphics import shapes
from reportlab.lib.colors import black

from assessments.sheets.attempt_drawing import attempt_drawing
from assessments.sheets.shapes import tag
from assessments.sheets.svg import UnwritableShapeError, to_svg
from tests.assessments.sheets.builders import awkward_drawings, every_method

SVG = "{http://www.w3.org/2000/svg}"


def svg_of(*parts, title="A drawing", prefix="one", description=""):
    drawing = shapes.Drawing(100, 80)
    for part in parts:
        drawing.add(part)
    return to_svg(drawing, prefix=prefix, title=title, description=description)


def element(name, *parts):
    return ElementTree.fromstring(svg_of(*parts)).find(f".//{SVG}{name}")


@pytest.mark.parametrize("name", [*every_method(), *awkward_drawings()])
def test_attempt_drawings_are_well_formed_without_style_attributes(name):
    drawing = (every_method() | awkward_drawings())[name]
    made = attempt_drawing(drawing, width=520, height=400)
    root = ElementTree.fromstring(to_svg(made, prefix="a", title="Result", description="Seen"))
    assert root.get("role") == "img"
    assert all("style" not in part.attrib and part.tag != f"{SVG}style" for part in root.iter())


def test_title_and_description_are_what_the_drawing_is_labelled_by():
    root = ElementTree.fromstring(svg_of(title="North & <east>", description="Seen"))
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert (title.text, description.text) == ("North & <east>", "Seen")
    assert root.get("aria-labelledby").split() == [title.get("id"), description.get("id")]


def test_identifiers_of_two_drawings_differ_by_their_prefix():
    both = svg_of(prefix="first", description="x") + svg_of(prefix="second", description="x")
    found = re.findall(r' id="([^"]+)"', both)
    assert len(found) == len(set(found)) == 4


@pytest.mark.parametrize("prefix", ["", "1a", "a b", 'a"', "ä"])
def test_a_prefix_that_cannot_start_an_identifier_is_refused(prefix):
    with pytest.raises(ValueError, match="identifier"):
        svg_of(prefix=prefix)


def test_a_drawing_without_a_title_is_refused():
    with pytest.raises(ValueError, match="title"):
        svg_of(title="  ")


def test_text_stands_upright_where_the_y_axis_is_turned():
    root = ElementTree.fromstring(svg_of(shapes.String(10, 20, "N")))
    outer = root.find(f"{SVG}g").get("transform")
    assert outer == "matrix(1 0 0 -1 0 80)"
    assert root.find(f".//{SVG}text").get("transform") == "matrix(1 0 0 -1 10 20)"


def test_text_is_escaped_and_characters_that_xml_forbids_are_left_out():
    text = element("text", shapes.String(0, 0, "a<b&c\x00\x1b"))
    assert text.text == "a<b&c"


@pytest.mark.parametrize(
    ("anchor", "written"), [("start", None), ("middle", "middle"), ("end", "end")]
)
def test_text_keeps_its_anchor(anchor, written):
    found = element("text", shapes.String(0, 0, "N", textAnchor=anchor))
    assert found.get("text-anchor") == written


def test_text_anchored_on_its_decimal_point_is_refused():
    with pytest.raises(UnwritableShapeError, match="numeric"):
        svg_of(shapes.String(0, 0, "1.5", textAnchor="numeric"))


def test_groups_keep_their_transform_and_class():
    group = tag(shapes.Group(shapes.Line(0, 0, 1, 1), transform=(0, 1, -1, 0, 5, 6)), "slope")
    found = ElementTree.fromstring(svg_of(group)).find(f".//{SVG}g[@class='slope']")
    assert found.get("transform") == "matrix(0 1 -1 0 5 6)"
    assert found.find(f"{SVG}line") is not None


def test_dashes_and_stroke_are_presentation_attributes():
    line = shapes.Line(0, 0, 9, 0, strokeDashArray=[3, 1], strokeWidth=2, strokeLineCap=1)
    found = element("line", line)
    assert found.get("stroke-dasharray") == "3 1"
    assert (found.get("stroke"), found.get("stroke-width")) == ("#000000", "2")
    assert found.get("stroke-linecap") == "round"


def test_a_dash_offset_is_kept():
    found = element("line", shapes.Line(0, 0, 9, 0, strokeDashArray=(2, [3, 1])))
    assert (found.get("stroke-dasharray"), found.get("stroke-dashoffset")) == ("3 1", "2")


def test_shapes_without_fill_say_so():
    assert element("circle", shapes.Circle(5, 5, 2, fillColor=None)).get("fill") == "none"


def test_rounded_rectangles_and_ellipses_keep_their_radii():
    assert element("rect", shapes.Rect(0, 0, 9, 9, rx=2, ry=1)).get("ry") == "1"
    assert element("ellipse", shapes.Ellipse(5, 5, 4, 3)).get("rx") == "4"


def test_polygons_and_polylines_keep_their_points():
    points = [0, 0, 5, 0, 5, 5]
    assert element("polygon", shapes.Polygon(points)).get("points") == "0,0 5,0 5,5"
    assert element("polyline", shapes.PolyLine(points)).get("fill") == "none"


def test_paths_are_written_by_their_operators():
    path = shapes.Path(fillColor=black)
    path.moveTo(0, 0)
    path.lineTo(4, 0)
    path.curveTo(5, 0, 6, 1, 6, 2)
    path.closePath()
    assert element("path", path).get("d") == "M 0 0 L 4 0 C 5 0 6 1 6 2 Z"


def test_arc_paths_are_written_as_paths():
    path = shapes.ArcPath()
    path.addArc(0, 0, 10, 0, 90)
    assert element("path", path).get("d").startswith("M 10 0 L")


def test_a_wedge_runs_from_its_first_angle_to_its_last():
    found = element("path", shapes.Wedge(0, 0, 10, 0, 90)).get("d")
    assert found.startswith("M 10 0 A 10 10 0 0 1 7.0711 7.0711 A 10 10 0 0 1 0 10 L 0 0")


def test_a_whole_wedge_is_a_circle_without_a_cut():
    assert " L " not in element("path", shapes.Wedge(0, 0, 10, 0, 360)).get("d")


def test_an_annular_wedge_leaves_its_middle_out():
    found = element("path", shapes.Wedge(0, 0, 10, 0, 90, radius1=5, annular=True)).get("d")
    assert "L 0 5 A 5 5 0 0 0" in found


@pytest.mark.parametrize(
    "shape",
    [shapes.Image(0, 0, 1, 1, "none.png"), shapes.Hatching(), shapes.Path(isClipPath=1)],
    ids=["image", "hatching", "clipping path"],
)
def test_a_shape_that_cannot_be_written_is_an_error(shape):
    with pytest.raises(UnwritableShapeError, match="cannot be written"):
        svg_of(shape)


@pytest.mark.parametrize("length", [float("nan"), float("inf")])
def test_a_length_that_is_no_number_is_an_error(length):
    with pytest.raises(UnwritableShapeError, match="cannot be drawn"):
        svg_of(shapes.Circle(length, 0, 1))


def test_no_number_is_written_as_negative_zero():
    assert element("line", shapes.Line(-0.0, -0.00001, 1, 1)).get("y1") == "0"
