"""Flowables that say what they are: a heading, a list, a table, a figure (ISO 32000-1, 14.8.4).

reportlab writes no structure by itself. Each flowable here adds to the `Tree` of the canvas while
it is drawn; every sheet is made of them, of what draws nothing, and of what only groups them.
Rules, shading and page feet are artifacts (14.8.2.2). A paragraph takes its kind from its style:
`kind` is the element ("P" where there is none, "H1" to "H6", "LI"), `depth` how deep in lists.
"""

import re
from collections.abc import Iterator
from contextlib import contextmanager

from reportlab.graphics.shapes import Drawing
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, HRFlowable, paragraph, tables

from assessments.sheets.operators import drawing_operators
from assessments.sheets.plain_lines import fragments, is_plain, laid
from assessments.sheets.structure import Tree, bounds


def tree_of(canvas: Canvas) -> Tree | None:
    return getattr(canvas, "tags", None)


@contextmanager
def artifact(canvas: Canvas, properties: str = "") -> Iterator[None]:
    """What is drawn inside is no content: a rule, shading, the foot of a page.

    `properties` say which kind of artifact (14.8.2.2.2).
    """
    if tree_of(canvas) is None:
        yield
        return
    canvas._code.append(f"/Artifact <<{properties}>> BDC" if properties else "/Artifact BMC")
    yield
    canvas._code.append("EMC")


FOOT = "/Type /Pagination /Subtype /Footer"
# Words at the end of a line and the next ones are parted by a space (14.8.2.5), which is the code
# 32 in each of reportlab's fonts.
_LINE_END = re.compile(r"(?<!\\)\) Tj T\*")


class Paragraph(paragraph.Paragraph):
    """A heading, an item of a list, or a paragraph, by its style.

    Words without markup are laid out once for all files (`plain_lines`).
    """

    def __init__(self, text, style, bulletText=None, frags=None, **more) -> None:
        self._plain, self._laid = None, None
        if frags is None and is_plain(text, style):
            self._plain, frags = text, fragments(text, style)
        super().__init__(text, style, bulletText, frags, **more)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        if self._plain is None or width <= 0.0:
            return super().wrap(width, height)
        self._laid = laid(self._plain, self.style, self.bulletText or "", width)
        self.width, self.height, self.blPara = width, self._laid.height, self._laid.broken
        return width, self.height

    def drawOn(self, canvas: Canvas, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802
        letters, tree = getattr(canvas, "letters", None), tree_of(canvas)
        if letters is None or self._laid is None:
            super().drawOn(canvas, x, y, _sW)
        elif tree is None:
            canvas._code.append(self._laid.operators(letters, x, y))
        else:
            levels, after_label = len(tree.open), self._begin(canvas, tree)
            canvas._code.append(self._laid.operators(letters, x, y, after_label))
            self._end(canvas, tree, levels)

    def draw(self) -> None:
        canvas, tree = self.canv, tree_of(self.canv)
        if tree is None:
            super().draw()
            return
        levels, after_label = len(tree.open), self._begin(canvas, tree)
        code = canvas._code
        begin = len(code)
        super().draw()
        texts = [n for n in range(begin, len(code)) if code[n].startswith("BT")]
        if after_label:
            # reportlab writes a label first, as a text of its own.
            code[texts[0]] += f" {after_label}"
        if texts:
            code[texts[-1]] = _LINE_END.sub(r") Tj ( ) Tj T*", code[texts[-1]])
        self._end(canvas, tree, levels)

    def _begin(self, canvas: Canvas, tree: Tree) -> str:
        """Begin its words as content; what has to be told between label and words."""
        # No paragraph is needed around the words of a cell, or of an item that is open.
        if tree.open[-1].kind not in ("TD", "TH", "LBody"):
            self._enter(tree)
        canvas._code.append(tree.begin_content(canvas))
        if tree.open[-1].kind != "Lbl":
            return ""
        tree.leave()
        tree.enter("LBody")
        return f"EMC {tree.begin_content(canvas)}"

    def _end(self, canvas: Canvas, tree: Tree, levels: int) -> None:
        canvas._code.append("EMC")
        del tree.open[levels:]

    def _enter(self, tree: Tree) -> None:
        style = self.style
        kind, depth = getattr(style, "kind", "P"), getattr(style, "depth", 0)
        if kind != "LI":
            tree.enter_body(depth)
            tree.enter(kind)
        elif self.bulletText:
            tree.enter_item(depth or 1, self.bulletText)
            tree.enter("Lbl")
        elif getattr(style, "label_in_text", False):
            tree.enter_item(depth or 1)
            tree.enter("LBody")
        else:
            # The rest of an item that goes on over the page.
            tree.enter_body(depth or 1)
            tree.enter("P")


class LayoutTable(tables.Table):
    """Puts things beside each other; means nothing by itself."""

    def draw(self) -> None:
        self._renderCB = self._mark if tree_of(self.canv) is not None else None
        super().draw()
        # Or the table and all that stands in it would hold itself in memory.
        self._renderCB = None

    def _mark(self, _table, event: str, *where) -> None:
        """What reportlab tells while it draws a table."""
        tree = tree_of(self.canv)
        if event in ("startBG", "startLines"):
            self.canv._code.append("/Artifact BMC")
        elif event in ("endBG", "endLines"):
            self.canv._code.append("EMC")
        elif event == "startCell":
            row, column, value = where[:3]
            # Without a flowable in it reportlab shows an empty text.
            self._is_blank = isinstance(value, str)
            self.start_cell(tree, row, column, is_blank=self._is_blank or not value)
            if self._is_blank:
                self.canv._code.append("/Artifact BMC")
        elif event == "endCell":
            if self._is_blank:
                self.canv._code.append("EMC")
            self.end_cell(tree)
        elif event == "startTable":
            self.start_table(tree)
        elif event == "endTable":
            self.end_table(tree)
        elif event == "startRow":
            self.start_row(tree)
        elif event == "endRow":
            self.end_row(tree)

    def start_table(self, tree: Tree) -> None:
        """Nothing, here and below: what stands in it is told as if it stood alone."""

    def end_table(self, tree: Tree) -> None: ...

    def start_row(self, tree: Tree) -> None: ...

    def end_row(self, tree: Tree) -> None: ...

    def start_cell(self, tree: Tree, row: int, column: int, *, is_blank: bool) -> None: ...

    def end_cell(self, tree: Tree) -> None: ...


class Checklist(LayoutTable):
    """Items with a box to tick, one a row: the box is the label of its item."""

    def start_row(self, tree: Tree) -> None:
        tree.enter_item(label="□")

    def end_row(self, tree: Tree) -> None:
        tree.leave()

    def start_cell(self, tree: Tree, row: int, column: int, *, is_blank: bool) -> None:
        tree.enter("LBody" if column else "Lbl")

    def end_cell(self, tree: Tree) -> None:
        tree.leave()


class Table(LayoutTable):
    """A table; rows that are repeated on each page are its headers."""

    def start_table(self, tree: Tree) -> None:
        made = tree.enter("Table")
        made.attributes.append(bounds(self.canv, self._width, self._height))

    def end_table(self, tree: Tree) -> None:
        tree.leave()

    def start_row(self, tree: Tree) -> None:
        tree.enter("TR")

    def end_row(self, tree: Tree) -> None:
        tree.leave()

    def start_cell(self, tree: Tree, row: int, column: int, *, is_blank: bool) -> None:
        scope = "" if is_blank else self.scope_of(row, column)
        told = f" /Scope /{scope}" if scope else ""
        if self._spanCmds:
            first, _top, last, _bottom = self._spanRanges[column, row]
            told += f" /ColSpan {last - first + 1}" if last > first else ""
        made = tree.enter("TH" if scope else "TD")
        if told:
            made.attributes.append(f"<< /O /Table{told} >>")

    def end_cell(self, tree: Tree) -> None:
        tree.leave()

    def scope_of(self, row: int, _column: int) -> str:
        """Of what a cell is the header: "Column", "Row" or nothing."""
        return "Column" if row < int(self.repeatRows or 0) else ""


class Facts(Table):
    """Labels with values beside them, in as many columns."""

    def scope_of(self, _row: int, column: int) -> str:
        return "" if column % 2 else "Row"


class Register(Table):
    """A table whose first column names what each row is about."""

    def scope_of(self, row: int, column: int) -> str:
        return super().scope_of(row, column) or ("" if column else "Row")


class Rule(HRFlowable):
    """A line across."""

    def draw(self) -> None:
        with artifact(self.canv):
            super().draw()


class Figure(Flowable):
    """A drawing with the words that stand for it where it cannot be seen."""

    def __init__(self, drawing: Drawing, alt: str) -> None:
        super().__init__()
        self.drawing, self.alt = drawing, alt
        self.hAlign = drawing.hAlign

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        return self.drawing.wrap(width, height)

    def draw(self) -> None:
        tree = tree_of(self.canv)
        if tree is None:
            self._draw()
            return
        with tree.element("Figure", self.alt) as made, tree.content(self.canv):
            made.attributes.append(bounds(self.canv, self.drawing.width, self.drawing.height))
            self._draw()

    def _draw(self) -> None:
        letters = getattr(self.canv, "letters", None)
        told = drawing_operators(self.drawing, letters) if letters is not None else None
        if told is None:
            self.drawing.drawOn(self.canv, 0, 0)
        else:
            self.canv._code.append(told)
