"""Shapes for drawings that go to a page and to paper: tagged, so that a page can recolour them.

Colours here are those of the paper: black, white and greys. A tag becomes the class of the
shape in SVG, by which a stylesheet may colour it; PDF does not use it.
"""

import math
from collections.abc import Iterable

from reportlab.graphics.shapes import (
    Circle,
    Drawing,
    Line,
    Polygon,
    PolyLine,
    Rect,
    Shape,
    String,
    Wedge,
)
from reportlab.lib.colors import Color, black, white

from assessments.sheets import fonts

INK, PAPER = black, white
Point = tuple[float, float]
Segment = tuple[Point, Point]


def grey(lightness: float) -> Color:
    return Color(lightness, lightness, lightness)


def tag(shape: Shape, name: str) -> Shape:
    """Give a shape (or group) the class it has in SVG; several are separated by spaces."""
    # Underscored, since reportlab checks every other attribute against its own list.
    shape._svg_class = name
    return shape


def tag_of(shape: Shape) -> str:
    return getattr(shape, "_svg_class", "")


def at_bearing(centre: Point, bearing_deg: float, distance: float) -> Point:
    """The point `distance` from `centre` in a bearing (clockwise from straight up)."""
    angle = math.radians(bearing_deg)
    return centre[0] + distance * math.sin(angle), centre[1] + distance * math.cos(angle)


def line(start: Point, end: Point, name: str, *, width=1.0, dash=None, colour=INK) -> Line:
    return tag(
        Line(*start, *end, strokeColor=colour, strokeWidth=width, strokeDashArray=dash), name
    )


def polyline(points: Iterable[Point], name: str, *, width=1.0, dash=None, colour=INK) -> PolyLine:
    flat = [value for point in points for value in point]
    return tag(PolyLine(flat, strokeColor=colour, strokeWidth=width, strokeDashArray=dash), name)


def polygon(points: Iterable[Point], name: str, *, fill=INK, stroke=INK, width=0.8) -> Polygon:
    flat = [value for point in points for value in point]
    return tag(Polygon(flat, fillColor=fill, strokeColor=stroke, strokeWidth=width), name)


def circle(centre: Point, radius: float, name: str, *, fill=None, width=0.8, dash=None) -> Circle:
    shape = Circle(*centre, radius, fillColor=fill, strokeColor=INK, strokeWidth=width)
    shape.strokeDashArray = dash
    return tag(shape, name)


def sector(centre: Point, radius: float, from_deg: float, to_deg: float, name: str) -> Wedge:
    """The sector swept clockwise from one bearing to a later one, lightly filled."""
    return tag(
        Wedge(
            *centre,
            radius,
            90.0 - to_deg,
            90.0 - from_deg,
            fillColor=grey(0.9),
            strokeColor=grey(0.35),
            strokeWidth=0.5,
        ),
        name,
    )


def text(at: Point, words: str, name: str, *, size=8.0, anchor="start", bold=False) -> String:
    fonts.register()
    return tag(
        String(
            *at,
            fonts.printable(words),
            fontName=fonts.BOLD if bold else fonts.REGULAR,
            fontSize=size,
            textAnchor=anchor,
            fillColor=INK,
        ),
        name,
    )


def backing(left: float, bottom: float, width: float, height: float) -> Rect:
    """A piece of bare paper, so that a label can be read where lines pass behind it."""
    return tag(
        Rect(left, bottom, width, height, fillColor=PAPER, strokeColor=None), "drawing-backing"
    )


def arrow_head(
    tip: Point, bearing_deg: float, name: str, *, size=7.0, filled=True, spread_deg=22.0
) -> Polygon | PolyLine:
    """An arrow head that points in a bearing; an open one is two strokes."""
    left = at_bearing(tip, bearing_deg + 180.0 - spread_deg, size)
    right = at_bearing(tip, bearing_deg + 180.0 + spread_deg, size)
    if filled:
        return polygon([tip, left, right], name, width=0.4)
    return polyline([left, tip, right], name, width=1.1)


def sun(centre: Point, radius: float, name: str, *, real: bool = True) -> list[Shape]:
    """A sun with rays; a dashed ring where it is only supposed to stand."""
    dash = None if real else [1.6, 1.4]
    shapes: list[Shape] = [circle(centre, radius * 0.6, name, fill=PAPER, width=1.0, dash=dash)]
    if real:
        shapes.append(circle(centre, radius * 0.15, name, fill=INK, width=0.4))
        shapes += [
            line(
                at_bearing(centre, 45.0 * n, radius * 0.75),
                at_bearing(centre, 45.0 * n, radius * 1.1),
                name,
                width=0.9,
            )
            for n in range(8)
        ]
    return shapes


def star(centre: Point, radius: float, name: str, *, real: bool = True) -> list[Shape]:
    """A star of five points; a dashed ring for a point of the sky where none stands."""
    if not real:
        return [circle(centre, radius * 0.8, name, fill=PAPER, width=1.0, dash=[1.6, 1.4])]
    points = [
        at_bearing(centre, 36.0 * n, radius if n % 2 == 0 else radius * 0.42) for n in range(10)
    ]
    return [polygon(points, name, fill=INK, width=0.4)]


def scaled(drawing: Drawing, width: float) -> Drawing:
    """The drawing made `width` wide, its height in proportion."""
    part = width / drawing.width
    made = Drawing(width, drawing.height * part)
    drawing.scale(part, part)
    made.add(drawing.asGroup())
    return made
