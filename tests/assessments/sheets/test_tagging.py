"""The structure of a tagged file, read back with another library (ISO 32000-1, 14.7 and 14.8)."""

import gc
import weakref
from datetime import UTC, datetime
from io import BytesIO

import pikepdf
import pytest
from reportlab.graphics.shapes import Drawing, Line
from reportlab.platypus import PageBreak

from assessments.sheets.layout import Composer
from assessments.sheets.tagging import Figure, tree_of

SHOWING = {"Tj", "TJ", "S", "s", "f", "f*", "B", "B*", "b", "b*"}


def story(composer: Composer) -> list:
    drawing = Drawing(50, 50)
    drawing.add(Line(0, 0, 50, 50))
    rows = [[f"{number}", "value"] for number in range(80)]
    return [
        composer.paragraph("Heading", "title"),
        *composer.section("Part", composer.paragraph("Words.")),
        *composer.items(["one", "two"]),
        composer.paragraph("Between."),
        *composer.items(["three"]),
        composer.facts([("Label", "Value")], columns=1),
        composer.boxed(composer.paragraph("Boxed.")),
        composer.steps([("A step", True)]),
        Figure(drawing, "A line uphill"),
        PageBreak(),
        composer.table(["No.", "What"], rows, [1, 2]),
    ]


def made(**more) -> bytes:
    composer = Composer("a4")
    return composer.pdf(story(composer), title="T", author="A", footer="F", **more)


@pytest.fixture(scope="module")
def file():
    with pikepdf.open(BytesIO(made(tagged=True))) as file:
        yield file


def shape(element) -> tuple | str:
    """The kinds of an element and those in it; content is left out."""
    kids = element.get("/K", [])
    kids = kids if isinstance(kids, pikepdf.Array) else [kids]
    inner = [shape(kid) for kid in kids if isinstance(kid, pikepdf.Dictionary)]
    kind = str(element.S)[1:]
    return (kind, inner) if inner else kind


def test_kinds_follow_the_order_of_the_page(file):
    document = file.Root.StructTreeRoot.K[0]
    kind, inner = shape(document)
    assert kind == "Document"
    item = ("LI", ["LBody"])
    assert inner[:9] == [
        "H1",
        "H2",
        "P",
        ("L", [item, item]),
        "P",
        ("L", [item]),
        ("Table", [("TR", ["TH", "TD"])]),
        "P",
        "Figure",  # the box of a step, ticked
    ]


def test_a_table_over_pages_has_its_header_on_each(file):
    _kind, inner = shape(file.Root.StructTreeRoot.K[0])
    tables = [one[1] for one in inner if one[0] == "Table"][1:]
    assert len(tables) > 1
    assert all(rows[0] == ("TR", ["TH", "TH"]) for rows in tables)
    assert sum(len(rows) - 1 for rows in tables) == 80


def test_a_figure_has_words_that_stand_for_it(file):
    found = [one for one in file.Root.StructTreeRoot.K[0].K if one.S == "/Figure"]
    assert [str(one.Alt) for one in found] == ["met", "A line uphill"]


def test_whatever_shows_is_content_or_an_artifact_and_never_both(file):
    for page in file.pages:
        depth = 0
        for instruction in pikepdf.parse_content_stream(page):
            operator = str(instruction.operator)
            depth += (operator in ("BDC", "BMC")) - (operator == "EMC")
            assert operator not in SHOWING or depth == 1
        assert depth == 0


def test_each_page_leads_back_to_the_elements_of_its_content(file):
    root = file.Root.StructTreeRoot
    numbers = list(root.ParentTree.Nums)
    for place, page in enumerate(file.pages):
        assert (page.StructParents, page.Tabs) == (place, "/S")
        assert numbers[2 * place] == place
        marked = [
            int(one.operands[1].MCID)
            for one in pikepdf.parse_content_stream(page)
            if str(one.operator) == "BDC"
        ]
        assert marked == list(range(len(numbers[2 * place + 1])))
        for element in numbers[2 * place + 1]:
            assert element.Pg.objgen == page.obj.objgen


def test_a_file_is_marked_as_tagged_only_where_it_is(file):
    assert file.Root.MarkInfo.Marked
    with pikepdf.open(BytesIO(made())) as plain:
        assert "/MarkInfo" not in plain.Root
        assert "/StructTreeRoot" not in plain.Root


def test_a_canvas_without_a_tree_is_left_as_it_is():
    assert tree_of(object()) is None
    assert b"BDC" not in made()


def test_a_file_is_dated_by_what_it_is_made_from():
    with pikepdf.open(BytesIO(made(made_at=datetime(2025, 9, 20, 9, 5, tzinfo=UTC)))) as dated:
        assert str(dated.docinfo["/CreationDate"]).startswith("D:20250920090500")
        assert dated.docinfo["/CreationDate"] == dated.docinfo["/ModDate"]


def test_a_drawn_table_is_given_back_at_once():
    composer = Composer("a4")
    table = composer.facts([("Label", "Value")])
    left = weakref.ref(table)
    gc.disable()
    try:
        composer.pdf([table], title="T", author="A", footer="F", tagged=True)
        del table
        assert left() is None
    finally:
        gc.enable()
