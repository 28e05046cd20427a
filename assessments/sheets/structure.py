"""The structure of a document as its file holds it, and what the file says of itself.

Sources: ISO 32000-1, 14.3.2 (metadata), 14.6 (marked content), 14.7 and 14.8 (structure, tagged
PDF); ISO 14289-1 (PDF/UA-1), from memory.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from xml.sax.saxutils import escape

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

# A dash has no word of its own there.
_LABELS = {"•": "Disc", "–": "Disc", "□": "Square"}


class Element:
    """A node: `kids` are elements, and pairs of page (from 1) and number of marked content.

    `attributes` are dictionaries of the file (14.7.5), each with its owner.
    """

    def __init__(self, kind: str, alt: str = "") -> None:
        self.kind, self.alt = kind, alt
        self.attributes: list[str] = []
        self.kids: list[Element | tuple[int, int]] = []

    def last(self, kind: str) -> "Element | None":
        """Its last kid where that is an element of the kind."""
        found = self.kids[-1] if self.kids else None
        return found if isinstance(found, Element) and found.kind == kind else None

    def add(self, kind: str, alt: str = "") -> "Element":
        made = Element(kind, alt)
        self.kids.append(made)
        return made


class Tree:
    """The structure of one document, in the order in which it is drawn.

    `open` are the elements that are not closed yet, each within the one before it.
    """

    def __init__(self) -> None:
        self.open = [Element("Document")]
        self._content: dict[int, list[Element]] = {}

    @contextmanager
    def element(self, kind: str, alt: str = "") -> Iterator[Element]:
        """Inside, whatever is drawn belongs to a new element."""
        yield self.enter(kind, alt)
        self.leave()

    def enter(self, kind: str, alt: str = "") -> Element:
        made = self.open[-1].add(kind, alt)
        self.open.append(made)
        return made

    def leave(self) -> None:
        self.open.pop()

    def enter_item(self, depth: int = 1, label: str | None = None) -> None:
        """A new item of a list, so deep in lists: of the one before where nothing is between.

        `label` is what stands before it; None where that is no text of its own.
        """
        inside = self._body(depth - 1)
        numbering = _numbering(label)
        found = inside.last("L")
        if found is None or found.attributes != numbering:
            found = inside.add("L")
            found.attributes = numbering
        self.open.append(found.add("LI"))

    def enter_body(self, depth: int) -> None:
        """Into the item that was drawn last, so deep in lists, to go on there."""
        self.open.append(self._body(depth))

    def _body(self, depth: int) -> Element:
        inside = self.open[-1]
        for _level in range(depth):
            for kind in ("L", "LI", "LBody"):
                inside = inside.last(kind) or inside.add(kind)
        return inside

    @contextmanager
    def content(self, canvas: Canvas) -> Iterator[None]:
        """What is drawn inside is content of the element that is open."""
        canvas._code.append(self.begin_content(canvas))
        yield
        canvas._code.append("EMC")

    def begin_content(self, canvas: Canvas) -> str:
        """The operator with which content of the open element begins; EMC ends it."""
        page, element = canvas.getPageNumber(), self.open[-1]
        on_page = self._content.setdefault(page, [])
        number = len(on_page)
        element.kids.append((page, number))
        on_page.append(element)
        return f"/{element.kind} <</MCID {number}>> BDC"

    def finish_page(self, number: int, page: PDFPage) -> None:
        page.__NoDefault__ = [*PDFPage.__NoDefault__, "StructParents", "Tabs"]
        page.StructParents, page.Tabs = number - 1, PDFName("S")

    def finish(self, document: PDFDocument, pages: list[PDFObjectReference]) -> None:
        """Write the tree into the catalogue; `pages` are references in order."""
        places = [page.format(document).decode("ascii") for page in pages]
        references: dict[int, str] = {}

        def refer(made: Written, key: int, name: str) -> str:
            found = document.Reference(made, name).format(document).decode("ascii")
            references[key] = found
            return found

        def write(element: Element, parent: str) -> str:
            made = Written()
            itself = refer(made, id(element), f"structure{len(references)}")
            kids, page = [], 0
            for kid in element.kids:
                if isinstance(kid, Element):
                    kids.append(write(kid, itself))
                else:
                    # An element is drawn in one go: all its content is on one page.
                    page, number = kid
                    kids.append(f"{number}")
            inside = kids[0] if len(kids) == 1 else f"[{' '.join(kids)}]"
            told = f"<< /Type /StructElem /S /{element.kind} /P {parent} /K {inside}"
            if page:
                told += f" /Pg {places[page - 1]}"
            if element.attributes:
                told += f" /A [{' '.join(element.attributes)}]"
            made.content = told.encode("ascii")
            if element.alt:
                made.content += b" /Alt " + PDFString(element.alt).format(document)
            made.content += b" >>"
            return itself

        root = Written()
        top = refer(root, 0, "structure-root")
        document_element = write(self.open[0], top)
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


class Written(PDFObject):
    """An object of the file that is told in bytes: there are some hundreds in a packet."""

    content = b""

    def format(self, _document: PDFDocument) -> bytes:
        return self.content


def _numbering(label: str | None) -> list[str]:
    """How a list with such labels is numbered (14.8.5.5)."""
    if label is None:
        return []
    return [f"<< /O /List /ListNumbering /{_LABELS.get(label, 'Decimal')} >>"]


def bounds(canvas: Canvas, width: float, height: float) -> str:
    """Where a figure or a table stands on its page (14.8.5.4.3), its corner at the origin."""
    left, low = canvas.absolutePosition(0, 0)
    right, high = canvas.absolutePosition(width, height)
    return f"<< /O /Layout /BBox [{left:.1f} {low:.1f} {right:.1f} {high:.1f}] >>"


def describe(document: PDFDocument) -> None:
    """Title and maker as XMP (ISO 16684-1), the same as in the information dictionary.

    It does not say that the file is PDF/UA: no validator has held it to all of that standard.
    """
    info = document.info
    parts = [
        "<dc:format>application/pdf</dc:format>",
        f"<dc:title>{_alternatives(info.title)}</dc:title>",
        f"<dc:description>{_alternatives(info.subject)}</dc:description>",
        f"<dc:creator><rdf:Seq><rdf:li>{escape(info.author)}</rdf:li></rdf:Seq></dc:creator>",
        f"<xmp:CreatorTool>{escape(info.creator)}</xmp:CreatorTool>",
        f"<pdf:Producer>{escape(info.producer)}</pdf:Producer>",
    ]
    told = _XMP % "\n".join(parts)
    made = Written()
    packet = told.encode("utf-8")
    made.content = b"<< /Type /Metadata /Subtype /XML /Length %d >>\nstream\n%s\nendstream" % (
        len(packet),
        packet,
    )
    document.Catalog.Metadata = document.Reference(made, "metadata")


def _alternatives(text: str) -> str:
    return f'<rdf:Alt><rdf:li xml:lang="x-default">{escape(text)}</rdf:li></rdf:Alt>'


_XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about=""
 xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
%s
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>"""
