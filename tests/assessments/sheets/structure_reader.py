"""What is amiss with the structure of a PDF, read with a library that had no part in writing it.

Sources: ISO 32000-1:2008, 14.6 to 14.8; ISO 14289-1:2014 (PDF/UA-1). Clauses from memory.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from itertools import pairwise
from xml.etree import ElementTree

import pikepdf
from pikepdf import Array, Dictionary

SHOWS_TEXT = {"Tj", "TJ", "'", '"'}
SHOWS = SHOWS_TEXT | {
    "S",
    "s",
    "f",
    "F",
    "f*",
    "B",
    "B*",
    "b",
    "b*",
    "sh",
    "Do",
    "BI",
    "INLINE IMAGE",
}
# 14.8.4: which elements may hold which; a figure or paragraph may stand wherever words may.
_INSIDE = {
    "TR": {"Table"},
    "TH": {"TR"},
    "TD": {"TR"},
    "LI": {"L"},
    "Lbl": {"LI"},
    "LBody": {"LI"},
    "L": {"Document", "LBody"},
    "Table": {"Document", "LBody"},
    "P": {"Document", "LBody"},
    "Figure": {"Document", "LBody", "Lbl", "TD", "TH"},
    **{f"H{level}": {"Document"} for level in range(1, 7)},
}
_RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
_DC = "{http://purl.org/dc/elements/1.1/}"


@dataclass(frozen=True)
class Node:
    """An element as it was read.

    `content` are the (page, MCID) pairs that are its own; `attributes` are keyed by owner and name,
    numbers and names as text.
    """

    kind: str
    parent: str
    place: tuple[int, int]
    alt: str
    attributes: dict[tuple[str, str], str]
    content: tuple[tuple[int, int], ...]
    kids: tuple["Node", ...]

    def all(self) -> Iterator["Node"]:
        yield self
        for kid in self.kids:
            yield from kid.all()

    @property
    def bounds(self) -> list[float]:
        """Left, bottom, right, top; nothing where it has none."""
        return [float(part) for part in self.attributes.get(("Layout", "BBox"), "").split()]


def faults(content: bytes, *, language: str) -> list[str]:
    """Every rule that the file breaks, in words; none for a file that is as it should be."""
    with pikepdf.open(BytesIO(content)) as file:
        found = list(_catalogue(file, language))
        if "/StructTreeRoot" not in file.Root:
            return [*found, "no structure"]
        marked = {}
        for number, page in enumerate(file.pages):
            found += [f"page {number + 1}: {said}" for said in _page(page, number, marked)]
        tree = tree_of(file)
        nodes = list(tree.all())
        found += _content(file, nodes, marked)
        found += _nesting(nodes)
        found += _headings(nodes)
        found += _figures(nodes)
        found += _tables(nodes)
        found += _lists(nodes)
        found += _fonts(file)
    return found


def tree_of(file: pikepdf.Pdf) -> Node:
    """The structure, from its one top element."""
    places = {page.obj.objgen: number for number, page in enumerate(file.pages)}
    top = file.Root.StructTreeRoot.K
    top = top[0] if isinstance(top, Array) else top
    return _node(top, "", places, None)


def _node(element: Dictionary, parent: str, places: dict, page) -> Node:
    page = element.get("/Pg", page)
    kind, content, kids = str(element.S)[1:], [], []
    for kid in _several(element.get("/K")):
        if isinstance(kid, Dictionary):
            assert kid.P.objgen == element.objgen, "14.7.2: /P leads to the parent"
            kids.append(_node(kid, kind, places, page))
        else:
            content.append((places[page.objgen], int(kid)))
    attributes = {
        (str(one.O)[1:], name[1:]): " ".join(str(part).lstrip("/") for part in _several(value))
        for one in _several(element.get("/A"))
        for name, value in one.items()
    }
    alt = str(element.get("/Alt", ""))
    return Node(kind, parent, element.objgen, alt, attributes, tuple(content), tuple(kids))


def _several(value) -> list:
    """Of a place in a file where one thing stands, or an array of several."""
    if value is None:
        return []
    return list(value) if isinstance(value, Array) else [value]


def _catalogue(file: pikepdf.Pdf, language: str) -> Iterator[str]:
    root = file.Root
    # 14.7.1, Table 321; 14289-1, 7.1: a tagged file says so, and suspects nothing.
    marks = root.get("/MarkInfo", Dictionary())
    if marks.get("/Marked") is not True or marks.get("/Suspects", False):
        yield "not marked as tagged"
    # 14.9.2; 14289-1, 7.2: the natural language of all words.
    if str(root.get("/Lang", "")).lower() != language:
        yield f"its language is {root.get('/Lang')}"
    # 14289-1, 7.1: readers show the title, and the metadata has it.
    if root.get("/ViewerPreferences", Dictionary()).get("/DisplayDocTitle") is not True:
        yield "its title is not shown"
    if "/Metadata" not in root:
        yield "no metadata"
        return
    # 14.3.2: metadata that anybody can read, thus neither packed nor locked.
    stream = root.Metadata
    if stream.Type != "/Metadata" or stream.Subtype != "/XML" or "/Filter" in stream:
        yield "its metadata is no plain XML"
    title = _metadata(file).find(f".//{_DC}title/{_RDF}Alt/{_RDF}li")
    if title is None or not title.text or title.text != str(file.docinfo["/Title"]):
        yield "its title is not in the metadata"
    # 14289-1, 7.16: what may be locked, never what assistive technology reads.
    if file.is_encrypted:
        yield "locked"


def _metadata(file: pikepdf.Pdf) -> ElementTree.Element:
    return ElementTree.fromstring(file.Root.Metadata.read_bytes().decode("utf-8"))


def _page(page: pikepdf.Page, number: int, marked: dict) -> Iterator[str]:
    """Marked content of a page (14.6); `marked` takes the kind that each (page, MCID) has."""
    # 12.5, Table 30; 14289-1, 7.18.3: annotations come in the order of the structure.
    if page.get("/Tabs") != "/S":
        yield "no order of tabs"
    for note in page.get("/Annots", []):
        # 14289-1, 7.18.1: an annotation is in the structure (14.7.4.4, an object reference).
        if "/StructParent" not in note:
            yield f"an annotation {note.Subtype} outside of the structure"
    opened: list[str] = []
    in_text = 0
    for instruction in pikepdf.parse_content_stream(page):
        operator, operands = str(instruction.operator), instruction.operands
        if operator in ("BMC", "BDC"):
            kind = str(operands[0])[1:]
            # 14.8.2.2: content is either real or an artifact; neither stands in the other.
            if opened:
                yield f"{kind} begins within {opened[-1]}"
            opened.append(kind)
            properties = operands[1] if operator == "BDC" else {}
            if "/MCID" in properties:
                key = (number, int(properties["/MCID"]))
                if key in marked:
                    yield f"MCID {key[1]} twice"
                marked[key] = kind
            elif kind != "Artifact":
                yield f"{kind} has no number"
        elif operator == "EMC":
            if not opened:
                yield "EMC without a beginning"
            else:
                opened.pop()
            # 14.6.1: marked content lies within a text object, or text objects within it.
            if in_text:
                yield "EMC inside a text that began before"
        elif operator in ("BT", "ET"):
            in_text += 1 if operator == "BT" else -1
        # 14289-1, 7.1: whatever shows is tagged, or an artifact.
        elif operator in SHOWS and not opened:
            yield f"{operator} outside of all marked content"
    if opened:
        yield f"{opened[-1]} has no end"


def _content(file: pikepdf.Pdf, nodes: list[Node], marked: dict) -> Iterator[str]:
    """Content and elements lead to each other (14.7.4), each to one."""
    owners = Counter(key for node in nodes for key in node.content)
    for key in marked:
        if owners[key] != 1:
            yield f"page {key[0] + 1}: MCID {key[1]} belongs to {owners[key]} elements"
    of = {key: node for node in nodes for key in node.content}
    for key, node in of.items():
        if marked.get(key) != node.kind:
            yield f"page {key[0] + 1}: MCID {key[1]} of {node.kind} is marked {marked.get(key)}"
    # 14.7.4.4: the way back, by the number of the page and that of the content.
    numbers = list(file.Root.StructTreeRoot.ParentTree.Nums)
    back = {int(key): value for key, value in zip(numbers[::2], numbers[1::2], strict=True)}
    for number, page in enumerate(file.pages):
        elements = back.get(int(page.get("/StructParents", -1)), [])
        if len(elements) != sum(key[0] == number for key in marked):
            yield f"page {number + 1}: {len(elements)} ways back"
        for place, element in enumerate(elements):
            node = of.get((number, place))
            if node is None or node.place != element.objgen:
                yield f"page {number + 1}: MCID {place} leads back to another element"
    # 14.8.2.3: what is read is in the order of the structure, and pages come one after the other.
    pages = [key[0] for node in nodes for key in node.content]
    if pages != sorted(pages):
        yield "the structure goes back to an earlier page"


def _nesting(nodes: list[Node]) -> Iterator[str]:
    for node in nodes:
        if node.parent and node.parent not in _INSIDE.get(node.kind, set()):
            yield f"{node.kind} within {node.parent}"


def _headings(nodes: list[Node]) -> Iterator[str]:
    """14289-1, 7.4.2: the first is H1, and none skips a level on the way down."""
    levels = [int(node.kind[1]) for node in nodes if re.fullmatch("H[1-6]", node.kind)]
    if levels[:1] != [1]:
        yield f"its first headings are {levels[:1]}"
    for before, after in pairwise(levels):
        if after > before + 1:
            yield f"H{after} after H{before}"


def _figures(nodes: list[Node]) -> Iterator[str]:
    for node in nodes:
        if node.kind != "Figure":
            continue
        # 14.9.3; 14289-1, 7.3: words that stand for it.
        if not node.alt.strip():
            yield "a figure without words"
        # 14.8.5.4.3, Table 344: where it stands.
        left, low, right, high = node.bounds or [0.0] * 4
        if not (right > left and high > low):
            yield "a figure without bounds"


def _tables(nodes: list[Node]) -> Iterator[str]:
    for table in (node for node in nodes if node.kind == "Table"):
        widths = set()
        for row in table.kids:
            spans = [cell.attributes.get(("Table", "ColSpan"), "1") for cell in row.kids]
            widths.add(sum(map(int, spans)))
            for cell in row.kids:
                # 14.8.5.7, Table 349; 14289-1, 7.5: what a header is the header of.
                scope = cell.attributes.get(("Table", "Scope"))
                if cell.kind == "TH" and scope not in ("Row", "Column"):
                    yield "a header without scope"
                if cell.kind == "TH" and not (cell.content or cell.kids):
                    yield "a header without words"
        # 14289-1, 7.5: rows of the same number of columns.
        if len(widths) != 1:
            yield f"a table with rows of {sorted(widths)} cells"
        if not any(node.kind == "TH" for node in table.all()):
            yield "a table without headers"


def _lists(nodes: list[Node]) -> Iterator[str]:
    for node in nodes:
        kinds = [kid.kind for kid in node.kids]
        # 14.8.4.3.3, Table 336: an item is a label, where it has one, and a body.
        if node.kind == "LI" and kinds not in (["Lbl", "LBody"], ["LBody"]):
            yield f"an item of {kinds}"
        # 14.8.5.5; 14289-1, 7.6: where there are labels, how they count.
        has_labels = any(kid.kids[0].kind == "Lbl" for kid in node.kids if node.kind == "L")
        numbering = node.attributes.get(("List", "ListNumbering"), "None")
        if has_labels and numbering == "None":
            yield "a list with labels that says nothing of them"


def _fonts(file: pikepdf.Pdf) -> Iterator[str]:
    for number, page in enumerate(file.pages, start=1):
        for name, font in page.Resources.get("/Font", {}).items():
            descriptor = font.get("/FontDescriptor", Dictionary())
            # 14289-1, 7.21.4.1: every font is in the file.
            if "/FontFile2" not in descriptor:
                yield f"page {number}: {font.BaseFont} ({name}) is not in the file"
            # 14289-1, 7.21.7; 14.8.2.4.2: every code leads to a character.
            if "/ToUnicode" not in font:
                yield f"page {number}: {font.BaseFont} has no characters"


def outline_of(node: Node) -> tuple | str:
    """The kinds of an element and those in it, to compare with."""
    return (node.kind, [outline_of(kid) for kid in node.kids]) if node.kids else node.kind
