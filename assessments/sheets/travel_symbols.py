"""Signs of the drawings of legs and positions, the same in the drawing and in its legend."""

from collections.abc import Iterator

from reportlab.graphics.shapes import Rect, Shape

from assessments.sheets.shapes import INK, PAPER, Point, arrow_head, circle, grey, line, tag

LEG_DASH = [7.0, 3.0]
TOLERANCE_DASH = [2.0, 2.0]
PART_DASH = [0.6, 2.2]
KINDS = frozenset(
    {"start", "goal", "true", "arrival", "plotted", "leg", "walked", "tolerance", "known", "parts"}
)


def sign(kind: str, at: Point) -> Iterator[Shape]:
    """The sign of a point: a square start, a ring for where one should be, a saltire for where
    one was."""
    name = f"drawing-{kind}"
    x, y = at
    if kind == "start":
        square = Rect(x - 4.0, y - 4.0, 8.0, 8.0, fillColor=PAPER, strokeColor=INK)
        square.strokeWidth = 1.2
        yield tag(square, name)
    elif kind in ("goal", "true"):
        yield circle(at, 5.0, name, fill=PAPER, width=1.2)
        yield circle(at, 1.6, f"{name} drawing-solid", fill=INK, width=0.4)
    else:
        for turn in (-1.0, 1.0):
            ends = (x - 4.0, y - 4.0 * turn), (x + 4.0, y + 4.0 * turn)
            yield line(*ends, name, width=1.8)


def sample(kind: str, left: Point, length: float) -> Iterator[Shape]:
    """A short piece for the legend, `length` long."""
    x, y = left
    end, middle = (x + length, y), (x + length / 2, y)
    if kind == "leg":
        yield line(left, end, "drawing-asked", width=1.0, dash=LEG_DASH)
    elif kind == "walked":
        yield line(left, (end[0] - 5.0, y), "drawing-laid", width=2.0)
        yield arrow_head(end, 90.0, "drawing-laid")
    elif kind == "tolerance":
        yield circle(middle, 5.5, "drawing-tolerance", width=0.9, dash=TOLERANCE_DASH)
    elif kind == "known":
        yield disc(middle, 5.5)
    elif kind == "parts":
        yield line(left, end, "drawing-parts", width=1.0, dash=PART_DASH)
    else:
        yield from sign(kind, middle)


def disc(centre: Point, radius: float) -> Shape:
    """How well a place is known: a light disc."""
    return circle(centre, radius, "drawing-wedge", fill=grey(0.9), width=0.5)
