"""Tagged PDF (ISO 32000-1, 14.7 and 14.8): what is a heading, a list, a table, a figure.

reportlab writes no structure by itself. The flowables here say what they are while they are drawn
on a canvas that has a `Tree`; on any other canvas they draw as ever. Rules, shading and page feet
are artifacts. List labels are not parted from their items.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from reportlab.graphics.shapes import Drawing
from reportlab.pdfbase.pdfdoc import (
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFObject,
    PDFObjectReference,
    PDFPage,
    PDFString,
)
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, paragraph, tables

from assessments.sheets.operators import drawing_operators
from assessments.sheets.plain_lines import fragments, is_plain, laid

_HEADINGS = {"title": "H1", "cover": "H1", "section": "H2", "flowing": "H2"}


class Element:
    """A node: `kids` are elements, and pairs of page (from 1) and number of marked content."""

    def __init__(self, kind: str, alt: str = "") -> None:
        self.kind, self.alt, self.scope = kind, alt, "Column"
        self.kids: list[Element | tuple[int, int]] = []


class Tree:
    """The structure of one document, in the order in which it is drawn."""

    def __init__(self) -> None:
        self._open = [Element("Document")]
        self._content: dict[int, list[Element]] = {}

    @contextmanager
    def element(self, kind: str, alt: str = "") -> Iterator[Element]:
        """Inside, whatever is drawn belongs to a new element."""
        self.enter(kind, alt)
        yield self._open[-1]
        self.leave()

    @property
    def is_in_cell(self) -> bool:
        return self._open[-1].kind in ("TD", "TH")

    def enter(self, kind: str, alt: str = "") -> Element:
        made = Element(kind, alt)
        self._open[-1].kids.append(made)
        self._open.append(made)
        return made

    def leave(self) -> None:
        self._open.pop()

    def enter_item(self) -> None:
        """An item of a list; of the one before where nothing stands between them."""
        kids = self._open[-1].kids
        if not (kids and isinstance(kids[-1], Element) and kids[-1].kind == "L"):
            kids.append(Element("L"))
        self._open.append(kids[-1])
        self.enter("LI")
        self.enter("LBody")

    def leave_item(self) -> None:
        del self._open[-3:]

    @contextmanager
    def content(self, canvas: Canvas) -> Iterator[None]:
        """What is drawn inside is content of the element that is open."""
        self.start_content(canvas)
        yield
        canvas._code.append("EMC")

    def start_content(self, canvas: Canvas) -> None:
        page, element = canvas.getPageNumber(), self._open[-1]
        on_page = self._content.setdefault(page, [])
        element.kids.append((page, len(on_page)))
        canvas._code.append(f"/{element.kind} <</MCID {len(on_page)}>> BDC")
        on_page.append(element)

    def finish_page(self, number: int, page: PDFPage) -> None:
        page.__NoDefault__ = [*PDFPage.__NoDefault__, "StructParents", "Tabs"]
        page.StructParents, page.Tabs = number - 1, PDFName("S")

    def finish(self, document: PDFDocument, pages: list[PDFObjectReference]) -> None:
        """Write the tree into the catalogue; `pages` are references in order."""
        places = [page.format(document).decode("ascii") for page in pages]
        references: dict[int, str] = {}

        def refer(made: _Written, key: int, name: str) -> str:
            found = document.Reference(made, name).format(document).decode("ascii")
            references[key] = found
            return found

        def write(element: Element, parent: str) -> str:
            made = _Written()
            itself = refer(made, id(element), f"structure{len(references)}")
            kids, page = [], 0
            for kid in element.kids:
                if isinstance(kid, Element):
                    kids.append(write(kid, itself))
                else:
                    # An element is drawn in one go: all its content is on one page.
                    page, number = kid
                    kids.append(f"{number}")
            told = f"<< /Type /StructElem /S /{element.kind} /P {parent} /K {_array(kids)}"
            if page:
                told += f" /Pg {places[page - 1]}"
            if element.kind == "TH":
                told += f" /A << /O /Table /Scope /{element.scope} >>"
            made.content = told.encode("ascii")
            if element.alt:
                made.content += b" /Alt " + PDFString(element.alt).format(document)
            made.content += b" >>"
            return itself

        root = _Written()
        top = refer(root, 0, "structure-root")
        document_element = write(self._open[0], top)
        numbers = [
            f"{page} [{' '.join([references[id(one)] for one in self._content.get(page + 1, ())])}]"
            for page in range(len(pages))
        ]
        root.content = (
            f"<< /Type /StructTreeRoot /K [{document_element}] "
            f"/ParentTree << /Nums [{' '.join(numbers)}] >> /ParentTreeNextKey {len(pages)} >>"
        ).encode("ascii")
        document.Catalog.StructTreeRoot = PDFObjectReference("structure-root")
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


class _Written(PDFObject):
    """An object of the file that is told in bytes: there are some hundreds in a packet."""

    content = b""

    def format(self, _document: PDFDocument) -> bytes:
        return self.content


def _array(kids: list[str]) -> str:
    return kids[0] if len(kids) == 1 else f"[{' '.join(kids)}]"


def tree_of(canvas: Canvas) -> Tree | None:
    return getattr(canvas, "tags", None)


@contextmanager
def artifact(canvas: Canvas) -> Iterator[None]:
    """What is drawn inside is no content: a rule, shading, the foot of a page."""
    if tree_of(canvas) is None:
        yield
        return
    canvas._code.append("/Artifact BMC")
    yield
    canvas._code.append("EMC")


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
        letters = getattr(canvas, "letters", None)
        if letters is None or self._laid is None:
            super().drawOn(canvas, x, y, _sW)
            return
        self._start(canvas)
        canvas._code.append(self._laid.operators(letters, x, y))
        self._end(canvas)

    def draw(self) -> None:
        self._start(self.canv)
        super().draw()
        self._end(self.canv)

    def _start(self, canvas: Canvas) -> None:
        tree = tree_of(canvas)
        if tree is None:
            return
        # A cell needs no paragraph around its words.
        self._in_cell = tree.is_in_cell
        if not self._in_cell:
            if self.style.name == "item":
                tree.enter_item()
            else:
                tree.enter(_HEADINGS.get(self.style.name, "P"))
        tree.start_content(canvas)

    def _end(self, canvas: Canvas) -> None:
        tree = tree_of(canvas)
        if tree is None:
            return
        canvas._code.append("EMC")
        if not self._in_cell:
            if self.style.name == "item":
                tree.leave_item()
            else:
                tree.leave()


class LayoutTable(tables.Table):
    """Puts things beside each other; means nothing by itself."""

    is_table = False
    scope = "Column"

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
            self._start_cell(tree, *where[:3])
        elif event == "endCell":
            if self._is_blank:
                self.canv._code.append("EMC")
            if self.is_table:
                tree.leave()
        elif self.is_table and event in ("startTable", "startRow"):
            tree.enter("Table" if event == "startTable" else "TR")
        elif self.is_table and event in ("endTable", "endRow"):
            tree.leave()

    def _start_cell(self, tree: Tree, row: int, column: int, value) -> None:
        if self.is_table:
            made = tree.enter("TH" if self.is_header(row, column) else "TD")
            made.scope = self.scope
        # Without a flowable in it reportlab shows an empty text.
        self._is_blank = isinstance(value, str)
        if self._is_blank:
            self.canv._code.append("/Artifact BMC")

    def is_header(self, row: int, _column: int) -> bool:
        return row < int(self.repeatRows or 0)


class Table(LayoutTable):
    """A table; rows that are repeated on each page are its headers."""

    is_table = True


class Facts(Table):
    """Labels with values beside them, in as many columns."""

    scope = "Row"

    def is_header(self, _row: int, column: int) -> bool:
        return column % 2 == 0


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
        with tree.element("Figure", self.alt), tree.content(self.canv):
            self._draw()

    def _draw(self) -> None:
        letters = getattr(self.canv, "letters", None)
        told = drawing_operators(self.drawing, letters) if letters is not None else None
        if told is None:
            self.drawing.drawOn(self.canv, 0, 0)
        else:
            self.canv._code.append(told)
