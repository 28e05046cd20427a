"""Drawings and lines of text as operators of a page (ISO 32000-1, 8 and 9).

reportlab's own renderer asks the canvas for every shape to save, set and restore everything a
shape could have; a packet has thousands of shapes. Here a pen is set where it changes. What is not
known here is left to reportlab's renderer: `drawing_operators` says so by None.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

from reportlab.graphics import shapes
from reportlab.lib.colors import Color
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFDocument
from reportlab.pdfgen import pdfgeom

from assessments.sheets import fonts

# How far, in parts of the radius, the handles of a quarter of a circle lie.
_HANDLE = 0.5522847498
_ESCAPED = str.maketrans({"\\": "\\\\", "(": "\\(", ")": "\\)"})
_PATH = ("m", "l", "c", "h")


class Letters:
    """Texts of one document as its fonts encode them; a canvas keeps one."""

    def __init__(self, document: PDFDocument) -> None:
        self._document = document
        self._fonts: dict[str, str] = {}
        self._kept: dict[tuple[str, str], list[tuple[str, str]]] = {}

    def parts(self, font: str, text: str) -> list[tuple[str, str]]:
        """Pairs of a font’s name on the page and a string in it; Arabic letters in their own."""
        key = font, text
        found = self._kept.get(key)
        if found is None:
            found = self._kept[key] = self._encoded(font, text)
        return found

    def _encoded(self, font: str, text: str) -> list[tuple[str, str]]:
        if text.isascii() and text.isprintable():
            # The first 128 characters of each font here stand for themselves.
            return [(self._first(font), f"({text.translate(_ESCAPED)})")]
        found = []
        for arabic, part in fonts.runs(text):
            face = pdfmetrics.getFont(fonts.ARABIC if arabic else font)
            for subset, codes in face.splitString(part, self._document):
                name = face.getSubsetInternalName(subset, self._document)
                found.append((name, f"<{codes.hex()}>"))
        return found

    def _first(self, font: str) -> str:
        name = self._fonts.get(font)
        if name is None:
            face = pdfmetrics.getFont(font)
            face.splitString("", self._document)
            name = self._fonts[font] = face.getSubsetInternalName(0, self._document)
        return name

    def shown(self, at: tuple[float, float], font: str, size: float, text: str) -> str:
        """One line, its baseline starting at that point."""
        told = " ".join(
            f"{name} {size:g} Tf {string} Tj" for name, string in self.parts(font, text)
        )
        return f"BT 1 0 0 1 {at[0]:.3f} {at[1]:.3f} Tm {told} ET"


class _UnknownError(Exception):
    """A shape, or a feature of one, that is left to reportlab."""


@dataclass
class _Pen:
    stroke: Color | None = None
    fill: Color | None = None
    width: float | None = None
    dash: list[float] | None = None


def drawing_operators(drawing: shapes.Drawing, letters: Letters) -> str | None:
    """The drawing with its lower left corner at the origin; None where a shape is not known."""
    found: list[str] = []
    try:
        _group(drawing, _Pen(width=1.0), letters, found)
    except _UnknownError:
        return None
    return f"q {_width(1.0)} [] 0 d\n" + "\n".join(found) + "\nQ"


def _numbers(*values: float) -> str:
    # A thousandth of a point is finer than any press.
    return " ".join([f"{value:.3f}" for value in values])


def _width(points: float) -> str:
    return f"{points:.3g} w"


def _group(group: shapes.Group, pen: _Pen, letters: Letters, found: list[str]) -> None:
    moved = tuple(group.transform) != (1, 0, 0, 1, 0, 0)
    if moved:
        a, b, c, d, e, f = group.transform
        found.append(f"q {a:.6f} {b:.6f} {c:.6f} {d:.6f} {_numbers(e, f)} cm")
        pen = replace(pen)
    for shape in group.contents:
        kind = type(shape)
        if kind in (shapes.Group, shapes.Drawing):
            _group(shape, pen, letters, found)
        elif kind is shapes.String:
            _text(shape, pen, letters, found)
        elif kind in _OUTLINES:
            _painted(shape, _OUTLINES[kind], pen, found)
        else:
            raise _UnknownError
    if moved:
        found.append("Q")


def _text(shape: shapes.String, pen: _Pen, letters: Letters, found: list[str]) -> None:
    if shape.fillColor is None or not shape.text:
        return
    if getattr(shape, "textRenderMode", 0):
        raise _UnknownError
    x, anchor = shape.x, shape.textAnchor
    if anchor in ("middle", "end"):
        width = fonts.text_width(shape.text, shape.fontSize, shape.fontName)
        x -= width / 2.0 if anchor == "middle" else width
    elif anchor not in ("start", "inherited"):
        raise _UnknownError
    _fill(shape.fillColor, pen, found)
    found.append(letters.shown((x, shape.y), shape.fontName, shape.fontSize, shape.text))


def _painted(
    shape: shapes.Shape, outline: Callable[[shapes.Shape], str], pen: _Pen, found: list[str]
) -> None:
    has = shape.__dict__
    if has.get("strokeLineCap") or has.get("strokeLineJoin") or has.get("strokeMiterLimit"):
        raise _UnknownError
    if not (has.get("strokeOpacity") in (None, 1) and has.get("fillOpacity") in (None, 1)):
        raise _UnknownError
    stroked, filled = shape.strokeColor is not None, has.get("fillColor") is not None
    if filled:
        _fill(shape.fillColor, pen, found)
    if stroked:
        _stroke(shape, pen, found)
    if stroked or filled:
        paint = ("B*" if stroked else "f*") if filled else "S"
        told = outline(shape)
        if "n" in told:  # no operator of an outline has one: it is a number that is none
            raise ValueError(f"A {type(shape).__name__} at {told} cannot be drawn.")
        found.append(f"{told} {paint}")


def _colour(colour: Color) -> str:
    if type(colour) is not Color or colour.alpha != 1:
        raise _UnknownError
    return f"{colour.red:.4g} {colour.green:.4g} {colour.blue:.4g}"


def _fill(colour: Color, pen: _Pen, found: list[str]) -> None:
    if colour is not pen.fill:
        found.append(f"{_colour(colour)} rg")
        pen.fill = colour


def _stroke(shape: shapes.LineShape, pen: _Pen, found: list[str]) -> None:
    if shape.strokeColor is not pen.stroke:
        found.append(f"{_colour(shape.strokeColor)} RG")
        pen.stroke = shape.strokeColor
    if shape.strokeWidth != pen.width:
        found.append(_width(shape.strokeWidth))
        pen.width = shape.strokeWidth
    dash = shape.strokeDashArray or None
    if dash != pen.dash:
        if dash and isinstance(dash[-1], (list, tuple)):
            raise _UnknownError
        found.append(f"[{' '.join([f'{value:g}' for value in dash or ()])}] 0 d")
        pen.dash = dash


def _line(shape: shapes.Line) -> str:
    return f"{shape.x1:.3f} {shape.y1:.3f} m {shape.x2:.3f} {shape.y2:.3f} l"


def _points(shape: shapes.PolyLine | shapes.Polygon) -> str:
    values = shape.points
    told = [f"{x:.3f} {y:.3f} l" for x, y in zip(values[::2], values[1::2], strict=True)]
    return " ".join([f"{told[0][:-1]}m", *told[1:]])


def _rect(shape: shapes.Rect) -> str:
    if shape.rx or shape.ry:
        raise _UnknownError
    return f"{_numbers(shape.x, shape.y, shape.width, shape.height)} re"


def _circle(shape: shapes.Circle) -> str:
    x, y, r = shape.cx, shape.cy, shape.r
    h = r * _HANDLE
    left, right, low, high = f"{x - r:.3f}", f"{x + r:.3f}", f"{y - r:.3f}", f"{y + r:.3f}"
    w, e, s, n = f"{x - h:.3f}", f"{x + h:.3f}", f"{y - h:.3f}", f"{y + h:.3f}"
    middle, across = f"{x:.3f}", f"{y:.3f}"
    return (
        f"{right} {across} m {right} {n} {e} {high} {middle} {high} c "
        f"{w} {high} {left} {n} {left} {across} c {left} {s} {w} {low} {middle} {low} c "
        f"{e} {low} {right} {s} {right} {across} c"
    )


def _wedge(shape: shapes.Wedge) -> str:
    x, y, r = shape.centerx, shape.centery, shape.radius
    if shape.annular or shape._xtraRadii() != (r, None, None):
        raise _UnknownError
    start = shape.startangledegrees
    sweep = shape.endangledegrees - start
    curves = pdfgeom.bezierArc(x - r, y - r, x + r, y + r, start, sweep)
    begin = f"{_numbers(x, y)} m {_numbers(*curves[0][:2])} l"
    told = " ".join([f"{_numbers(*one[2:])} c" for one in curves])
    return f"{begin} {told} h"


def _path(shape: shapes.Path) -> str:
    if shape.isClipPath or shape.operators[-1] != shapes._CLOSEPATH:
        raise _UnknownError
    values, told, at = shape.points, [], 0
    for operator in shape.operators:
        end = at + shapes._PATH_OP_ARG_COUNT[operator]
        told.append(f"{_numbers(*values[at:end])} {_PATH[operator]}" if end > at else "h")
        at = end
    return " ".join(told)


_OUTLINES: dict[type, Callable[..., str]] = {
    shapes.Line: _line,
    shapes.PolyLine: _points,
    shapes.Polygon: lambda shape: f"{_points(shape)} h",
    shapes.Rect: _rect,
    shapes.Circle: _circle,
    shapes.Wedge: _wedge,
    shapes.Path: _path,
}
