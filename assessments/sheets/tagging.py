"""Tagged PDF (ISO 32000-1, 14.7 and 14.8): what is a heading, a list, a table, a figure.

reportlab writes no structure by itself. The flowables here say what they are while they are drawn
on a canvas that has a `Tree`; on any other canvas they draw as ever. Rules, shading and page feet
are artifacts. List labels are not parted from their items.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from reportlab.graphics.shapes import Drawing
from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFDocument,
    PDFName,
    PDFObjectReference,
    PDFPage,
    PDFString,
)
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, paragraph, tables

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
        page, element = canvas.getPageNumber(), self._open[-1]
        on_page = self._content.setdefault(page, [])
        element.kids.append((page, len(on_page)))
        canvas._code.append(f"/{element.kind} <</MCID {len(on_page)}>> BDC")
        on_page.append(element)
        yield
        canvas._code.append("EMC")

    def finish_page(self, number: int, page: PDFPage) -> None:
        page.__NoDefault__ = [*PDFPage.__NoDefault__, "StructParents", "Tabs"]
        page.StructParents, page.Tabs = number - 1, PDFName("S")

    def finish(self, document: PDFDocument, pages: list[PDFObjectReference]) -> None:
        """Write the tree into the catalogue; `pages` are references in order."""
        names: dict[int, str] = {}

        def reference(element: Element) -> PDFObjectReference:
            return PDFObjectReference(names.setdefault(id(element), f"structure{len(names)}"))

        root = PDFObjectReference("structure-root")

        def write(element: Element, parent: PDFObjectReference) -> None:
            entries = {"Type": PDFName("StructElem"), "S": PDFName(element.kind), "P": parent}
            kids = []
            for kid in element.kids:
                if isinstance(kid, Element):
                    write(kid, reference(element))
                    kids.append(reference(kid))
                else:
                    # An element is drawn in one go: all its content is on one page.
                    page, number = kid
                    entries["Pg"] = pages[page - 1]
                    kids.append(number)
            entries["K"] = kids[0] if len(kids) == 1 else PDFArray(kids)
            if element.alt:
                entries["Alt"] = PDFString(element.alt)
            if element.kind == "TH":
                scope = {"O": PDFName("Table"), "Scope": PDFName(element.scope)}
                entries["A"] = PDFDictionary(scope)
            document.Reference(PDFDictionary(entries), reference(element).name)

        write(self._open[0], root)
        numbers: list = []
        for page in range(1, len(pages) + 1):
            numbers += [page - 1, PDFArray([reference(one) for one in self._content.get(page, ())])]
        entries = {
            "Type": PDFName("StructTreeRoot"),
            "K": PDFArray([reference(self._open[0])]),
            "ParentTree": PDFDictionary({"Nums": PDFArray(numbers)}),
            "ParentTreeNextKey": len(pages),
        }
        document.Reference(PDFDictionary(entries), root.name)
        document.Catalog.StructTreeRoot = root
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


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
    """A heading, an item of a list, or a paragraph, by its style."""

    def draw(self) -> None:
        tree = tree_of(self.canv)
        if tree is None:
            super().draw()
            return
        if tree.is_in_cell:
            # A cell needs no paragraph around its words.
            with tree.content(self.canv):
                super().draw()
            return
        is_item = self.style.name == "item"
        if is_item:
            tree.enter_item()
        else:
            tree.enter(_HEADINGS.get(self.style.name, "P"))
        with tree.content(self.canv):
            super().draw()
        if is_item:
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
            self.drawing.drawOn(self.canv, 0, 0)
            return
        with tree.element("Figure", self.alt), tree.content(self.canv):
            self.drawing.drawOn(self.canv, 0, 0)
