"""The pages of a PDF file as plain marks, and the same marks drawn by a canvas alone.

A mark is a line of text or a painted path, at its place on the page, with its lettering, pen,
colours and dashes. Drawn again they are the same pages, without structure, outline and links.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from io import BytesIO

import pikepdf
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas

_LETTER = re.compile(r"^<(\w\w)> <(\w{4})>$", re.MULTILINE)
# Strokes and fills; no path here crosses itself, so that all ways to fill are one.
_PAINTED = dict.fromkeys(("S", "s"), (1, 0)) | dict.fromkeys(("f", "f*"), (0, 1))
_PAINTED |= dict.fromkeys(("B", "B*", "b", "b*"), (1, 1))
_GREYS = {"G": "RG", "g": "rg"}
_STEPS = {"m": "moveTo", "l": "lineTo", "c": "curveTo", "re": "rect", "h": "close"}
Numbers = tuple[float, ...]
Call = tuple[str, tuple]
"""A method of the canvas with what it is given; without a name, a path of such calls."""


@dataclass(frozen=True)
class Pen:
    """What the pages set before they paint; colours are red, green, blue from 0 to 1."""

    matrix: Numbers = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
    stroke: Numbers = (0.0, 0.0, 0.0)
    fill: Numbers = (0.0, 0.0, 0.0)
    width: float = 1.0
    dash: Numbers = ()
    font: str = ""
    size: float = 0.0

    def at(self, x: float, y: float) -> tuple[float, float]:
        a, b, c, d, e, f = self.matrix
        return a * x + c * y + e, b * x + d * y + f

    @property
    def scale(self) -> float:
        return abs(self.matrix[0])


@dataclass(frozen=True)
class Mark:
    """`pen` holds lengths as they are on the page; a text has no `path`."""

    pen: Pen
    text: str = ""
    path: tuple[tuple[str, Numbers], ...] = ()
    strokes: int = 0
    fills: int = 0


def marks_of(content: bytes, names: Sequence[str]) -> list[list[Mark]]:
    """The marks of each page; its fonts are those registered with reportlab under `names`."""
    with pikepdf.open(BytesIO(content)) as file:
        return [_marks(page, names) for page in file.pages]


def _marks(page: pikepdf.Page, names: Sequence[str]) -> list[Mark]:
    fonts = {key: _font(font, names) for key, font in page.Resources.Font.items()}
    found: list[Mark] = []
    pen, held, path, at = Pen(), [], [], (0.0, 0.0)
    for instruction in pikepdf.parse_content_stream(page):
        name, values = str(instruction.operator), instruction.operands
        if name == "q":
            held.append(pen)
        elif name == "Q":
            pen = held.pop()
        elif name == "cm":
            pen = replace(pen, matrix=_within(pen.matrix, _floats(values)))
        elif name in ("RG", "G", "rg", "g"):
            colour = _floats(values) * (1 if len(values) == 3 else 3)
            key = {"RG": "stroke", "rg": "fill"}[_GREYS.get(name, name)]
            pen = replace(pen, **{key: colour})
        elif name == "w":
            pen = replace(pen, width=float(values[0]))
        elif name == "d":
            pen = replace(pen, dash=_floats(values[0]))
        elif name == "Tf":
            pen = replace(pen, font=str(values[0]), size=float(values[1]))
        elif name == "BT":
            at, leading = (0.0, 0.0), 0.0
        elif name == "TL":
            leading = float(values[0])
        elif name == "Tm":
            at = _floats(values)[4:]
        elif name == "Td":
            at = (at[0] + float(values[0]), at[1] + float(values[1]))
        elif name == "T*":
            at = (at[0], at[1] - leading)
        elif name == "Tj":
            # What follows on one line is told from it by its own place: pages here have none.
            font, letters = fonts[pen.font]
            text = "".join(letters[code] for code in bytes(values[0]))
            found.append(Mark(_on_page(pen, font), text, (("", pen.at(*at)),)))
        elif name in ("m", "l", "c"):
            path.append((name, _points(pen, _floats(values))))
        elif name == "re":
            x, y, width, height = _floats(values)
            path.append((name, (*pen.at(x, y), width * pen.scale, height * pen.scale)))
        elif name == "h":
            path.append((name, ()))
        elif name == "n":
            path = []
        elif name in _PAINTED:
            found.append(Mark(_on_page(pen, ""), "", tuple(path), *_PAINTED[name]))
            path = []
        elif name in ("TJ", "'", '"', "TD", "W", "Do", "sh", "v", "y"):
            raise ValueError(f"Pages with “{name}” cannot be drawn again.")
    return found


def _font(font: pikepdf.Object, names: Sequence[str]) -> tuple[str, dict[int, str]]:
    """Its registered name, and the letter of each byte."""
    face = str(font.BaseFont).lstrip("/").partition("+")[2]
    name = next(one for one in names if _told(pdfmetrics.getFont(one).face.name) == face)
    table = font.ToUnicode.read_bytes().decode("ascii")
    letters = {int(code, 16): chr(int(letter, 16)) for code, letter in _LETTER.findall(table)}
    return name, letters


def _told(name: bytes | str) -> str:
    return name.decode("ascii") if isinstance(name, bytes) else name


def _floats(values) -> Numbers:
    return tuple(float(value) for value in values)


def _points(pen: Pen, values: Numbers) -> Numbers:
    pairs = zip(values[::2], values[1::2], strict=True)
    return tuple(value for pair in pairs for value in pen.at(*pair))


def _within(outer: Numbers, inner: Numbers) -> Numbers:
    a, b, c, d, e, f = inner
    g, h, i, j, k, m = outer
    return (
        a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j,
        e * g + f * i + k, e * h + f * j + m,
    )  # fmt: skip


def _on_page(pen: Pen, font: str) -> Pen:
    scale = pen.scale
    return replace(
        pen,
        matrix=Pen.matrix,
        width=pen.width * scale,
        dash=tuple(value * scale for value in pen.dash),
        font=font,
        size=pen.size * scale,
    )


def calls_for(pages: Sequence[Sequence[Mark]]) -> list[list[Call]]:
    """What has to be asked of a canvas for each page; pens and lettering where they change."""
    return [_calls(marks) for marks in pages]


def _calls(marks: Sequence[Mark]) -> list[Call]:
    found: list[Call] = []
    # A new page has the canvas’s own pen.
    has: dict[str, tuple] = {"setFillColorRGB": (0.0, 0.0, 0.0), "setStrokeColorRGB": (0.0,) * 3}
    has |= {"setLineWidth": (1.0,), "setDash": ([],)}

    def need(name: str, *values) -> None:
        if has.get(name) != values:
            has[name] = values
            found.append((name, values))

    for mark in marks:
        pen = mark.pen
        if mark.text or mark.fills:
            need("setFillColorRGB", *pen.fill)
        if mark.strokes:
            need("setStrokeColorRGB", *pen.stroke)
            need("setLineWidth", pen.width)
            need("setDash", list(pen.dash))
        if mark.text:
            need("setFont", pen.font, pen.size)
            found.append(("drawString", (*mark.path[0][1], mark.text)))
        else:
            found.append(_painted(mark))
    return found


def _painted(mark: Mark) -> Call:
    kinds = "".join(name[0] for name, _values in mark.path)
    if kinds == "ml" and mark.strokes:
        return "line", (*mark.path[0][1], *mark.path[1][1])
    if kinds == "r":
        return "rect", (*mark.path[0][1], mark.strokes, mark.fills)
    steps = [(_STEPS[name], values) for name, values in mark.path]
    return "", (steps, mark.strokes, mark.fills)


def drawn(pages: Sequence[Sequence[Call]], size: tuple[float, float], font: str) -> bytes:
    """The file, packed as reportlab does."""
    out = BytesIO()
    canvas = Canvas(out, pagesize=size, initialFontName=font)
    for calls in pages:
        for name, values in calls:
            if name:
                getattr(canvas, name)(*values)
                continue
            steps, strokes, fills = values
            path = canvas.beginPath()
            for step, numbers in steps:
                getattr(path, step)(*numbers)
            canvas.drawPath(path, strokes, fills)
        canvas.showPage()
    canvas.save()
    return out.getvalue()
