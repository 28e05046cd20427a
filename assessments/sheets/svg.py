"""reportlab drawings as SVG text that a strict Content-Security-Policy lets through.

Only presentation attributes and classes are written, never a style attribute, so a page's
stylesheet can recolour what the drawing code tagged. Identifiers start with the caller's
prefix: two drawings on one page do not share any. A shape that cannot be written is an error.
"""

import math
import re
from collections.abc import Callable
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

from django.utils.safestring import SafeString
from reportlab.graphics import shapes
from reportlab.lib.colors import Color, toColor

from assessments.sheets.shapes import tag_of

_PREFIX = re.compile(r"[A-Za-z][A-Za-z0-9_-]*", re.ASCII)
_CAPS = ("butt", "round", "square")
_JOINS = ("miter", "round", "bevel")
_ANCHORS = {"start": None, "middle": "middle", "end": "end"}
# What a bare control character would do to a page: XML 1.0 allows none but these three.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
# Most attributes: nothing in them is escaped.
_PLAIN = re.compile(r"[\w #.,;:()/+-]*", re.ASCII)

Attributes = dict[str, str | None]


class UnwritableShapeError(TypeError):
    """A shape, or a feature of one, that has no SVG here."""


def to_svg(
    drawing: shapes.Drawing, *, prefix: str, title: str, description: str = ""
) -> SafeString:
    """The drawing as an `<svg>` element to stand inside a page.

    `prefix` starts every identifier (letters, digits, hyphens; a letter first); `title` is
    read out by screen readers as the name, `description` after it. Lengths are in points of
    the drawing, mapped to pixels one to one; the viewBox lets the page scale it.
    Raises UnwritableShapeError for a shape without SVG, ValueError for a bad prefix or no title.
    """
    if not _PREFIX.fullmatch(prefix):
        raise ValueError(f"“{prefix}” cannot start an identifier.")
    if not title.strip():
        raise ValueError("A drawing needs a title.")
    width, height = _number(drawing.width), _number(drawing.height)
    names = f"{prefix}-title" + (f" {prefix}-description" if description else "")
    root = _open(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "class": " ".join(filter(None, ["drawing", tag_of(drawing)])),
            "width": width,
            "height": height,
            "viewBox": f"0 0 {width} {height}",
            "role": "img",
            "aria-labelledby": names,
            "font-family": "sans-serif",
        },
    )
    parts = [root, f'<title id="{prefix}-title">{_escaped(title)}</title>']
    if description:
        parts.append(f'<desc id="{prefix}-description">{_escaped(description)}</desc>')
    # reportlab's y axis points up, SVG's down: turned once here, and back for each text.
    parts.append(_open("g", {"transform": f"matrix(1 0 0 -1 0 {height})"}))
    parts += [_open("g", {"transform": _matrix(drawing.transform)})]
    parts += [_write(shape) for shape in drawing.contents]
    parts += ["</g>", "</g>", "</svg>"]
    return SafeString("".join(parts))


def _write(shape: object) -> str:
    known = _WRITERS.get(type(shape))
    if known is not None:
        return known(shape)
    for kind, writer in _WRITERS.items():
        if isinstance(shape, kind):
            return writer(shape)
    raise UnwritableShapeError(f"A {type(shape).__name__} cannot be written as SVG.")


@lru_cache(maxsize=8192)
def _number(value: float) -> str:
    if not math.isfinite(value):
        raise UnwritableShapeError(f"A length of {value} cannot be drawn.")
    # Adding nothing turns a negative zero into a plain one.
    return f"{round(float(value), 4) + 0.0:.4f}".rstrip("0").rstrip(".")


def _escaped(text: str) -> str:
    return escape(_NOT_XML.sub("", text))


def _open(name: str, attributes: Attributes, *, empty: bool = False) -> str:
    words = [name]
    words += [
        f'{key}="{value}"'
        if _PLAIN.fullmatch(value)
        else f"{key}={quoteattr(_NOT_XML.sub('', value))}"
        for key, value in attributes.items()
        if value is not None and value != ""
    ]
    return f"<{' '.join(words)}{'/' if empty else ''}>"


def _matrix(transform: tuple[float, ...]) -> str | None:
    if tuple(transform) == (1, 0, 0, 1, 0, 0):
        return None
    return f"matrix({' '.join(_number(value) for value in transform)})"


@lru_cache(maxsize=256)
def _colour(colour: object) -> tuple[str, float]:
    found = toColor(colour)
    if not isinstance(found, Color):
        raise UnwritableShapeError(f"The colour {colour!r} cannot be written as SVG.")
    return "#" + found.hexval()[2:8], found.alpha


def _stroke(shape: shapes.LineShape) -> Attributes:
    if shape.strokeColor is None or not shape.strokeWidth:
        return {"stroke": "none"}
    colour, alpha = _colour(shape.strokeColor)
    opacity = alpha if shape.strokeOpacity is None else shape.strokeOpacity
    dash, offset = shape.strokeDashArray, None
    if dash and isinstance(dash[-1], (list, tuple)):
        offset, dash = dash[0], dash[-1]
    return {
        "stroke": colour,
        "stroke-width": _number(shape.strokeWidth),
        "stroke-dasharray": " ".join(_number(value) for value in dash) if dash else None,
        "stroke-dashoffset": _number(offset) if offset else None,
        "stroke-linecap": _CAPS[shape.strokeLineCap] if shape.strokeLineCap else None,
        "stroke-linejoin": _JOINS[shape.strokeLineJoin] if shape.strokeLineJoin else None,
        "stroke-miterlimit": _number(shape.strokeMiterLimit) if shape.strokeMiterLimit else None,
        "stroke-opacity": _number(opacity) if opacity != 1 else None,
    }


def _fill(shape: shapes.SolidShape) -> Attributes:
    if shape.fillColor is None:
        return {"fill": "none"}
    colour, alpha = _colour(shape.fillColor)
    opacity = alpha if shape.fillOpacity is None else shape.fillOpacity
    even_odd = getattr(shape, "fillMode", None) == shapes.FILL_EVEN_ODD
    return {
        "fill": colour,
        "fill-opacity": _number(opacity) if opacity != 1 else None,
        "fill-rule": "evenodd" if even_odd else None,
    }


def _element(name: str, shape: shapes.Shape, geometry: Attributes, *, filled: bool = True) -> str:
    paint = _fill(shape) if filled else {"fill": "none"}
    attributes = {"class": tag_of(shape) or None, **geometry, **paint, **_stroke(shape)}
    return _open(name, attributes, empty=True)


def _lengths(shape: shapes.Shape, names: dict[str, str]) -> Attributes:
    return {key: _number(getattr(shape, attribute)) for key, attribute in names.items()}


def _group(group: shapes.Group) -> str:
    opened = _open("g", {"class": tag_of(group), "transform": _matrix(group.transform)})
    return opened + "".join(_write(shape) for shape in group.contents) + "</g>"


def _line(shape: shapes.Line) -> str:
    names = {name: name for name in ("x1", "y1", "x2", "y2")}
    return _element("line", shape, _lengths(shape, names), filled=False)


def _points(shape: shapes.PolyLine | shapes.Polygon) -> Attributes:
    values = [_number(value) for value in shape.points]
    pairs = zip(values[::2], values[1::2], strict=True)
    return {"points": " ".join(f"{x},{y}" for x, y in pairs)}


def _rect(shape: shapes.Rect) -> str:
    names = {"x": "x", "y": "y", "width": "width", "height": "height"}
    rounded = {key: key for key in ("rx", "ry") if getattr(shape, key)}
    return _element("rect", shape, _lengths(shape, names | rounded))


def _text(shape: shapes.String) -> str:
    if shape.textAnchor not in _ANCHORS:
        raise UnwritableShapeError(f"Text anchored “{shape.textAnchor}” cannot be written as SVG.")
    colour, alpha = ("none", 1) if shape.fillColor is None else _colour(shape.fillColor)
    attributes = {
        "class": tag_of(shape),
        "transform": f"matrix(1 0 0 -1 {_number(shape.x)} {_number(shape.y)})",
        "font-size": _number(shape.fontSize),
        "font-weight": "600" if "Bold" in shape.fontName else None,
        "font-style": "italic" if re.search("Italic|Oblique", shape.fontName) else None,
        "text-anchor": _ANCHORS[shape.textAnchor],
        "fill": colour,
        "fill-opacity": _number(alpha) if alpha != 1 else None,
    }
    return _open("text", attributes) + _escaped(shape.text) + "</text>"


def _path(shape: shapes.Path) -> str:
    # A hatching is a path to reportlab, but it draws lines of its own.
    if shape.isClipPath or isinstance(shape, shapes.Hatching):
        raise UnwritableShapeError("A clipping path or a hatching cannot be written as SVG.")
    values, words = iter(shape.points), []
    for operator in shape.operators:
        letter, count = ("MLCZ"[operator], shapes._PATH_OP_ARG_COUNT[operator])
        words.append(" ".join([letter, *(_number(next(values)) for _ in range(count))]))
    return _element("path", shape, {"d": " ".join(words)})


def _wedge(shape: shapes.Wedge) -> str:
    outer_x, outer_y = shape.radius, shape.yradius or shape.radius
    # reportlab leaves these unset, not None, on a wedge that was never given an inner radius.
    inner_x = getattr(shape, "radius1", None) or 0.0
    inner_y = getattr(shape, "yradius1", None) or inner_x
    sweep = shape.endangledegrees - shape.startangledegrees
    if sweep < 0:
        sweep %= 360.0
    whole = sweep >= 360.0 - 1e-9
    if whole:
        sweep = 360.0

    def arc(rx: float, ry: float, start: float, turn: float, lead: str) -> str:
        # Halves, since an SVG arc cannot be a whole circle.
        words = [f"{lead} {_on(shape, rx, ry, start)}"]
        for half in (0.5, 1.0):
            end = _on(shape, rx, ry, start + turn * half)
            words.append(f"A {_number(rx)} {_number(ry)} 0 0 {int(turn > 0)} {end}")
        return " ".join(words)

    path = arc(outer_x, outer_y, shape.startangledegrees, sweep, "M")
    if inner_x:
        lead = "Z M" if whole else "L"
        path += " " + arc(inner_x, inner_y, shape.startangledegrees + sweep, -sweep, lead)
    elif not whole:
        path += f" L {_number(shape.centerx)} {_number(shape.centery)}"
    return _element("path", shape, {"d": path + " Z"})


def _on(shape: shapes.Wedge, rx: float, ry: float, angle_deg: float) -> str:
    angle = math.radians(angle_deg)
    x, y = shape.centerx + rx * math.cos(angle), shape.centery + ry * math.sin(angle)
    return f"{_number(x)} {_number(y)}"


def _image(shape: shapes.Image) -> str:
    # A page fetches it by an address; the bytes that paper takes are not written into it.
    address = getattr(shape, "_href", "")
    if not address:
        raise UnwritableShapeError("An image without an address cannot be written as SVG.")
    attributes = {
        "class": tag_of(shape),
        "href": address,
        "width": _number(shape.width),
        "height": _number(shape.height),
        "transform": f"matrix(1 0 0 -1 {_number(shape.x)} {_number(shape.y + shape.height)})",
        "preserveAspectRatio": "none",
    }
    return _open("image", attributes, empty=True)


# In order: a subclass stands before the class it extends.
_WRITERS: dict[type, Callable[..., str]] = {
    shapes.Group: _group,
    shapes.Line: _line,
    shapes.PolyLine: lambda shape: _element("polyline", shape, _points(shape), filled=False),
    shapes.Polygon: lambda shape: _element("polygon", shape, _points(shape)),
    shapes.Rect: _rect,
    shapes.Circle: lambda shape: _element(
        "circle", shape, _lengths(shape, {"cx": "cx", "cy": "cy", "r": "r"})
    ),
    shapes.Ellipse: lambda shape: _element(
        "ellipse", shape, _lengths(shape, {"cx": "cx", "cy": "cy", "rx": "rx", "ry": "ry"})
    ),
    shapes.Wedge: _wedge,
    shapes.Path: _path,
    shapes.String: _text,
    shapes.Image: _image,
}
