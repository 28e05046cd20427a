"""The structure of a file, read back with another library (ISO 32000-1, 14.7 and 14.8)."""

import gc
import weakref
from datetime import UTC, datetime
from io import BytesIO

import pikepdf
import pytest
from reportlab.graphics.shapes import Drawing, Line, Wedge
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import PageBreak, Table
from reportlab.platypus import Paragraph as PlainParagraph

from assessments.sheets import fonts
from assessments.sheets.layout import STYLES, Composer
from assessments.sheets.markdown_parts import outline_parts
from assessments.sheets.structure import Element
from assessments.sheets.tagging import Facts, Figure, Paragraph, Register, Rule
from tests.assessments.sheets.structure_reader import Node, faults, outline_of, tree_of

LABELLED = ("LI", ["Lbl", "LBody"])


def a_drawing() -> Drawing:
    drawing = Drawing(50, 40)
    drawing.add(Line(0, 0, 50, 40))
    return drawing


def story(composer: Composer) -> list:
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
        Figure(a_drawing(), "A line uphill"),
        PageBreak(),
        composer.table(["No.", "What"], rows, [1, 2]),
    ]


def made(*parts, **more) -> bytes:
    composer = Composer("a4")
    return composer.pdf(list(parts) or story(composer), title="T", author="A", footer="F", **more)


def elements(content: bytes) -> list[Node]:
    """What stands in the document, in order."""
    with pikepdf.open(BytesIO(content)) as file:
        return list(tree_of(file).kids)


def kinds(*parts) -> list:
    content = made(*parts)
    assert faults(content, language="en-gb") in ([], ["its first headings are []"])
    return [outline_of(one) for one in elements(content)]


def test_kinds_follow_the_order_of_the_page():
    assert kinds()[:9] == [
        "H1",
        "H2",
        "P",
        ("L", [LABELLED, LABELLED]),
        "P",
        ("L", [LABELLED]),
        ("Table", [("TR", ["TH", "TD"])]),
        "P",
        ("L", [("LI", [("Lbl", ["Figure"]), "LBody"])]),  # a step, ticked
    ]


def test_a_table_over_pages_has_its_header_on_each():
    tables = [one[1] for one in kinds() if one[0] == "Table"][1:]
    assert len(tables) > 1
    assert all(rows[0] == ("TR", ["TH", "TH"]) for rows in tables)
    assert sum(len(rows) - 1 for rows in tables) == 80


def test_a_figure_has_words_that_stand_for_it():
    figures = [node for one in elements(made()) for node in one.all() if node.kind == "Figure"]
    assert [figure.alt for figure in figures] == ["met", "A line uphill"]


def test_a_figure_is_told_where_it_stands():
    (figure,) = elements(made(Figure(a_drawing(), "A line uphill")))
    left, low, right, high = figure.bounds
    assert (right - left, high - low) == (50, 40)
    # In the frame: 17 mm from the left edge, and below the upper edge of A4.
    assert round(left) == 48
    assert 700 < low < high < 842


def test_a_drawing_that_reportlab_has_to_draw_is_a_figure_as_well():
    drawing = a_drawing()
    ring = Wedge(20, 20, 10, 0, 90)
    ring.radius1 = 5
    drawing.add(ring)
    assert kinds(Figure(drawing, "A ring")) == ["Figure"]


def test_a_box_to_tick_by_hand_is_neither_met_nor_missed():
    composer = Composer("a4")
    (found,) = elements(made(composer.steps([("Stick", False)], to_tick=True)))
    assert [node.alt for node in found.all() if node.kind == "Figure"] == ["to tick"]


def test_lists_lie_within_the_item_that_they_belong_to():
    outline = "1. one\n   - inside\n   - again\n\n   one goes on\n2. two\n\nAfter."
    inner = ("L", [LABELLED, LABELLED])
    first = ("LI", ["Lbl", ("LBody", [inner, "P"])])
    assert kinds(*outline_parts(outline, Composer("a4"))) == [("L", [first, LABELLED]), "P"]


def test_numbers_and_bullets_are_told_apart():
    parts = outline_parts("- bullet\n\n<!-- -->\n\n1. number", Composer("a4"))
    lists = [one for one in elements(made(*parts)) if one.kind == "L"]
    found = [one.attributes["List", "ListNumbering"] for one in lists]
    assert found == ["Disc", "Decimal"]


def test_markup_does_not_part_a_label_from_its_item():
    assert kinds(*outline_parts("- one *leaning* word\n- two", Composer("a4"))) == [
        ("L", [LABELLED, LABELLED])
    ]


def test_an_item_that_goes_on_over_the_page_stays_one():
    words = "Stop and count. " * 700
    item = Paragraph(words, STYLES["item"], bulletText="•")
    assert kinds(item, *Composer("a4").items(["next"])) == [
        ("L", [("LI", ["Lbl", ("LBody", ["P"])]), LABELLED])
    ]


@pytest.mark.parametrize("markup", ["count everybody", "count <b>everybody</b>"])
@pytest.mark.parametrize("bullet", [None, "•"])
def test_the_words_of_two_lines_are_parted_by_a_space(markup, bullet):
    # ISO 32000-1, 14.8.2.5: breaks between words are there as characters.
    words = f"Stop at the ford (all of you), {markup}. " * 12
    content = made(Paragraph(words, STYLES["item"], bulletText=bullet))
    plain = words.replace("<b>", "").replace("</b>", "").strip()
    assert plain in shown(content)


def test_a_word_over_two_lines_is_not_parted():
    word = "https://school.example/" + "long-address/" * 12
    assert f"Follow {word} then" in shown(made(Paragraph(f"Follow {word} then", STYLES["body"])))


def shown(content: bytes) -> str:
    """The characters of the first page in the order of its content; ASCII alone."""
    with pikepdf.open(BytesIO(content)) as file:
        return "".join(
            bytes(one.operands[0]).decode("latin-1")
            for one in pikepdf.parse_content_stream(file.pages[0])
            if str(one.operator) == "Tj"
        )


def test_steps_whose_number_is_in_their_words_are_items():
    composer = Composer("a4")
    steps = [composer.paragraph(f"{number}. Stop.", "step") for number in (1, 2)]
    assert kinds(*steps) == [("L", [("LI", ["LBody"]), ("LI", ["LBody"])])]


def test_a_blank_cell_is_no_header():
    composer = Composer("a4")
    table = composer.table(["", "Lines"], [["all", "3"]], [1, 1])
    assert kinds(table) == [("Table", [("TR", ["TD", "TH"]), ("TR", ["TD", "TD"])])]


def test_a_register_is_headed_by_the_name_in_each_row_too():
    composer = Composer("a4")
    rows = [
        [composer.paragraph("Student"), composer.paragraph("At")],
        [composer.paragraph("Ada Roth"), ""],
    ]
    (table,) = elements(made(Register(rows, repeatRows=1)))
    scopes = [
        (cell.attributes.get(("Table", "Scope"), ""), cell.kind)
        for row in table.kids
        for cell in row.kids
    ]
    assert scopes == [("Column", "TH"), ("Column", "TH"), ("Row", "TH"), ("", "TD")]


def test_a_cell_over_several_columns_says_so():
    composer = Composer("a4")
    row = [composer.paragraph("Label"), composer.paragraph("Value"), "", ""]
    table = Facts([row], colWidths=[50] * 4)
    table.setStyle([("SPAN", (1, 0), (3, 0))])
    (found,) = elements(made(table))
    spans = [cell.attributes.get(("Table", "ColSpan")) for cell in found.kids[0].kids]
    assert spans == [None, "3"]


def test_a_rule_is_an_artifact():
    assert kinds(Rule()) == []


def test_the_foot_of_a_page_is_told_as_that():
    # ISO 32000-1, 14.8.2.2.2, Table 330; ISO 14289-1, 7.8 (from memory).
    with pikepdf.open(BytesIO(made())) as file:
        for page in file.pages:
            told = [
                one.operands[1]
                for one in pikepdf.parse_content_stream(page)
                if str(one.operator) == "BDC" and one.operands[0] == "/Artifact"
            ]
            assert [(one.Type, one.Subtype) for one in told] == [("/Pagination", "/Footer")]


def test_title_and_maker_are_the_same_in_the_metadata():
    # With another reader of XMP; names by ISO 16684-1.
    with pikepdf.open(BytesIO(made())) as file, file.open_metadata() as found:
        assert found["dc:title"] == "T"
        assert found["dc:creator"] == ["A"]
        assert found["dc:description"] == str(file.docinfo["/Subject"])
        assert found["pdf:Producer"] == str(file.docinfo["/Producer"])
        assert found.pdfa_status == ""


def test_a_title_with_marks_of_xml_is_kept():
    composer = Composer("a4")
    content = composer.pdf([], title="A & <B>", author="", footer="")
    with pikepdf.open(BytesIO(content)) as file, file.open_metadata() as found:
        assert found["dc:title"] == "A & <B>"


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
        composer.pdf([table], title="T", author="A", footer="F")
        del table
        assert left() is None
    finally:
        gc.enable()


def test_an_element_knows_whether_a_kind_came_last():
    element = Element("Document")
    added = element.add("L")
    assert element.last("L") is added
    assert element.last("P") is None
    assert added.last("LI") is None


# What the reader of structures has to find, so that its silence says something.


def styled(**more) -> ParagraphStyle:
    fonts.register()
    return ParagraphStyle("styled", fontName=fonts.REGULAR, bulletFontName=fonts.REGULAR, **more)


@pytest.mark.parametrize(
    ("part", "fault"),
    [
        (lambda: PlainParagraph("Words", styled()), "page 1: Tj outside of all marked content"),
        (lambda: a_drawing(), "page 1: S outside of all marked content"),
        (lambda: Paragraph("Words", styled(kind="H3")), "H3 after H1"),
        (lambda: Figure(a_drawing(), ""), "a figure without words"),
        (lambda: Figure(Drawing(0, 0), "Nothing"), "a figure without bounds"),
        (lambda: Table([["a", "b"]]), "page 1: Tj outside of all marked content"),
        (lambda: Register([[[]]]), "a table without headers"),
        (
            lambda: PlainParagraph("Words", ParagraphStyle("helvetica")),
            "page 1: /Helvetica (/F2) is not in the file",
        ),
    ],
)
def test_the_reader_finds_what_is_amiss(part, fault):
    heading = Composer("a4").paragraph("Heading", "title")
    found = faults(made(heading, part()), language="en-gb")
    assert any(fault in one for one in found), found


def broken(change) -> list[str]:
    """The faults of a good file after a change to it."""
    out = BytesIO()
    with pikepdf.open(BytesIO(made())) as file:
        change(file)
        file.save(out)
    return faults(out.getvalue(), language="en-gb")


def without_marks(file) -> None:
    del file.Root.MarkInfo


def without_structure(file) -> None:
    del file.Root.StructTreeRoot


def without_metadata(file) -> None:
    del file.Root.Metadata


def without_tabs(file) -> None:
    del file.pages[0].Tabs


def in_french(file) -> None:
    file.Root.Lang = "fr"


def without_a_way_back(file) -> None:
    del file.Root.StructTreeRoot.ParentTree.Nums[1][0]


def without_an_element(file) -> None:
    del file.Root.StructTreeRoot.K[0].K[1]


def without_an_end(file) -> None:
    content = file.pages[0].Contents.read_bytes()
    file.pages[0].Contents = file.make_stream(content.replace(b"EMC", b"", 1))


def without_scopes(file) -> None:
    for table in file.Root.StructTreeRoot.K[0].K:
        if table.S == "/Table" and isinstance(table.K, pikepdf.Array):
            del table.K[0].K[0].A


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (without_marks, "not marked as tagged"),
        (without_structure, "no structure"),
        (without_metadata, "no metadata"),
        (without_tabs, "page 1: no order of tabs"),
        (in_french, "its language is fr"),
        (without_a_way_back, "ways back"),
        (without_an_element, "belongs to 0 elements"),
        (without_an_end, "begins within"),
        (without_scopes, "a header without scope"),
    ],
)
def test_the_reader_finds_what_was_taken_away(change, fault):
    assert any(fault in one for one in broken(change))
