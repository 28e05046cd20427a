"""What the drawings of a record share: degrees on an axis, and a legend that wraps.

Tags: record-band, record-method, record-result, record-own, record-swapped, record-mean,
record-level, record-zero, record-text, record-frame, record-point.
"""

from collections.abc import Iterator, Sequence

from reportlab.graphics.shapes import Shape

from assessments.sheets import fonts
from assessments.sheets.lettering import PAPER as ON_PAPER
from assessments.sheets.lettering import Lettering
from assessments.sheets.shapes import (
    INK,
    PAPER,
    Point,
    arrow_head,
    circle,
    grey,
    line,
    polygon,
    text,
)

SIZE = ON_PAPER.chart
_SLACK = 1.14
_SAMPLE = 20.0
_ROW = 1.5
TOPS = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0)


def top_of(sizes: Sequence[float]) -> float:
    """The round number of degrees that an axis reaches to hold them all."""
    largest = max(sizes, default=0.0)
    return next((top for top in TOPS if largest <= top), 180.0)


def step_of(top_deg: float) -> float:
    """Degrees between two levels: two or three of them to each side, in short figures."""
    return top_deg / 2.0 if top_deg in (5.0, 10.0, 20.0, 60.0, 120.0, 180.0) else top_deg / 3.0


def diamond(at: Point, radius: float, name: str, *, hollow: bool = False) -> Shape:
    x, y = at
    corners = [(x, y + radius), (x + radius, y), (x, y - radius), (x - radius, y)]
    return polygon(corners, name, fill=PAPER if hollow else INK, width=1.1)


def bar(left: float, right: float, low: float, high: float, name: str, *, fill=0.898) -> Shape:
    """A field of the drawing; its edge can be told from the band behind it."""
    corners = [(left, low), (right, low), (right, high), (left, high)]
    return polygon(corners, name, fill=grey(fill), stroke=grey(0.35), width=0.7)


def band(left: float, right: float, low: float, high: float) -> Shape:
    shape = polygon(
        [(left, low), (right, low), (right, high), (left, high)],
        "record-band",
        fill=grey(0.898),
        stroke=None,
    )
    shape.strokeColor = None
    return shape


def words_width(words: str, size: float, *, bold: bool = False) -> float:
    """Room for a text that a page may set in a wider font."""
    face = fonts.BOLD if bold else fonts.REGULAR
    return fonts.text_width(words, size, face) * _SLACK


def broken(said: str, width: float, size: float) -> list[str]:
    """The words in lines of at most `width`, where single words allow it."""
    lines: list[str] = []
    for word in said.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and words_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


class Legend:
    """Samples with words, in as many rows as they take."""

    def __init__(
        self,
        entries: Sequence[tuple[str, str]],
        *,
        left: float,
        width: float,
        lettering: Lettering = ON_PAPER,
    ) -> None:
        self._left, self._size = left, lettering.chart
        self._rows: list[list[tuple[str, str, float]]] = [[]]
        x = 0.0
        for kind, said in entries:
            for n, part in enumerate(self._parts(said, width) if lettering.breaks else [said]):
                taken = _SAMPLE + 6.0 + words_width(part, self._size) + 14.0
                if n or (x and x + taken - 14.0 > width):
                    self._rows.append([])
                    x = 0.0
                self._rows[-1].append((kind if n == 0 else "", part, x))
                x += taken

    def _parts(self, said: str, width: float) -> list[str]:
        return broken(said, width - _SAMPLE - 6.0, self._size)

    @property
    def height(self) -> float:
        return _ROW * self._size * len(self._rows) + 4.0

    def shapes(self, top: float) -> Iterator[Shape]:
        for number, row in enumerate(self._rows):
            y = top - _ROW * self._size * (number + 0.5)
            for kind, said, x in row:
                yield from sample(kind, (self._left + x, y))
                at = (self._left + x + _SAMPLE + 6.0, y - 0.35 * self._size)
                yield text(at, said, "record-text", size=self._size)


def sample(kind: str, left: Point) -> Iterator[Shape]:
    """A short piece of what a drawing shows."""
    x, y = left
    middle = (x + _SAMPLE / 2.0, y)
    if kind == "band":
        yield band(x, x + _SAMPLE, y - 5.0, y + 5.0)
    elif kind == "method":
        yield bar(middle[0] - 3.0, middle[0] + 3.0, y - 5.5, y + 5.5, "record-method", fill=0.75)
    elif kind == "result":
        yield circle(middle, 3.4, "record-result", fill=INK)
    elif kind in ("own", "practice"):
        if kind == "own":
            yield line((middle[0], y - 6.5), (middle[0], y + 6.5), "record-u", width=1.0)
        yield diamond(middle, 4.2, "record-own", hollow=kind == "practice")
    elif kind == "swapped":
        yield arrow_head((middle[0], y + 5.0), 0.0, "record-swapped", size=9.0, filled=True)
    elif kind == "mean":
        yield line(left, (x + _SAMPLE, y), "record-mean", width=1.6, dash=[5.0, 2.5])
    elif kind == "tick":
        yield line((middle[0], y - 4.5), (middle[0], y + 4.5), "record-tick", width=1.0)
    elif kind == "interval":
        yield line((x, y), (x + _SAMPLE, y), "record-interval", width=3.0)
        yield diamond(middle, 4.6, "record-own")
