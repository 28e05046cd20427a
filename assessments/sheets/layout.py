"""The paper of sheets: sizes, lettering, paragraphs and tables, footers with page x of y."""

from collections.abc import Iterable
from copy import copy
from datetime import datetime
from functools import lru_cache
from xml.sax.saxutils import escape

from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing, Rect
from reportlab.lib.colors import black, white
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Frame, KeepTogether

from assessments.sheets import fonts
from assessments.sheets.cautions import cautions
from assessments.sheets.paper import Document
from assessments.sheets.shapes import grey, polyline
from assessments.sheets.tagging import Checklist, Facts, Figure, LayoutTable, Paragraph, Table

PAPERS = {"a4": A4, "letter": LETTER}
MARGIN = 17 * mm
FOOT = 11 * mm


def _style(name: str, size: float, *, bold: bool = False, **more) -> ParagraphStyle:
    face = fonts.BOLD if bold else fonts.REGULAR
    return ParagraphStyle(
        name, fontName=face, bulletFontName=face, fontSize=size, leading=size * 1.3, **more
    )


STYLES = {
    style.name: style
    for style in (
        _style("body", 9.5, spaceAfter=2),
        _style("small", 8.5),
        _style("label", 8.5, bold=True),
        _style("title", 17, bold=True, spaceAfter=1, kind="H1"),
        _style("under-title", 11, spaceAfter=5),
        _style("section", 11, bold=True, spaceBefore=8, spaceAfter=2, keepWithNext=1, kind="H2"),
        _style("subsection", 11, bold=True, spaceBefore=8, spaceAfter=2, keepWithNext=1, kind="H3"),
        _style("verdict", 11.5, bold=True),
        _style("small-title", 11.5, bold=True, kind="H1"),
        _style("item", 9.5, leftIndent=10, bulletIndent=1, spaceAfter=1.5, kind="LI"),
        _style("number", 9, alignment=2),
        _style("big", 10.5),
        _style("call", 17, bold=True, spaceAfter=1, kind="H2"),
        _style("step", 9.5, spaceAfter=2, kind="LI", label_in_text=True),
    )
}


class Mark(Flowable):
    """Takes no room: puts the page it comes to stand on into the outline."""

    def __init__(self, title: str, level: int = 0) -> None:
        super().__init__()
        self.title, self.level = title, level

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return 0, 0

    def draw(self) -> None:
        self.canv.mark(self.title, self.level)


@lru_cache(maxsize=fonts.KEPT)
def _markup(text: str) -> tuple[str, tuple[str, ...]]:
    """With the characters that cannot be printed."""
    markup = "".join(
        f'<font name="{fonts.ARABIC}">{escape(part)}</font>' if arabic else escape(part)
        for arabic, part in fonts.runs(fonts.printable(text))
    )
    return markup.replace("\n", "<br/>"), tuple(fonts.missing_characters(text))


class _Frame(Frame):
    """Copied by reportlab for every heading, to try what has room; there is no depth in it."""

    def __deepcopy__(self, _memo: dict) -> "_Frame":
        return copy(self)


class Composer:
    """Makes the parts of one sheet, and keeps account of characters that cannot be printed."""

    def __init__(self, paper: str) -> None:
        if paper not in PAPERS:
            raise ValueError(f"“{paper}” is not a paper size of sheets (a4, letter).")
        fonts.register()
        self.size = PAPERS[paper]
        self.width = self.size[0] - 2 * MARGIN
        self.height = self.size[1] - 2 * MARGIN - 3 * mm
        self.missing: list[str] = []

    def markup(self, text: str) -> str:
        """Text from anyone as paragraph markup, with its line breaks."""
        markup, missing = _markup(str(text))
        self.missing += missing
        return markup

    def paragraph(self, text: str, style: str = "body", *, bullet: str = "") -> Paragraph:
        return Paragraph(self.markup(text), STYLES[style], bulletText=bullet or None)

    def cell(self, text: str, style: str) -> Paragraph | list[Flowable]:
        """What stands in a cell of a table; nothing where there are no words."""
        return self.paragraph(text, style) if text else []

    def section(self, title: str, *parts: Flowable) -> list[Flowable]:
        return [self.paragraph(title, "section"), *parts]

    def items(self, texts: Iterable[str]) -> list[Flowable]:
        return [self.paragraph(text, "item", bullet="•") for text in texts]

    def cautions(self, method: str) -> list[Flowable]:
        return [KeepTogether(self.section(_("Cautions"), *self.items(cautions(method))))]

    def facts(
        self, pairs: list[tuple[str, str]], *, columns: int = 2, label_part: float = 0.37
    ) -> Table:
        """Labels with values, side by side in as many columns."""
        cells = [
            (self.paragraph(label, "label"), self.paragraph(value, "small"))
            for label, value in pairs
        ]
        while len(cells) % columns:
            cells.append(("", ""))
        rows = [
            [cell for pair in cells[n : n + columns] for cell in pair]
            for n in range(0, len(cells), columns)
        ]
        part = self.width / columns
        label_width = part * label_part
        return ruled(rows, [label_width, part - label_width] * columns)

    def table(self, header: list[str], rows: list[list[str]], widths: list[float]) -> Table:
        """A table with a header that is repeated on each page; widths are parts of the whole."""
        total = sum(widths)
        cells = [[self.cell(text, "label") for text in header]]
        cells += [[self.cell(text, "small") for text in row] for row in rows]
        return ruled(cells, [self.width * part / total for part in widths], header=True)

    def boxed(self, *parts: Flowable) -> Table:
        table = LayoutTable([[list(parts)]], colWidths=[self.width], spaceBefore=6, spaceAfter=4)
        table.setStyle([("BOX", (0, 0), (-1, -1), 1.3, black), *_padding(6)])
        return table

    def steps(
        self, steps: Iterable[tuple[str, bool]], *, size: float = 9.0, to_tick: bool = False
    ) -> Checklist:
        """Steps with a box each, ticked where met; or all of them still `to_tick` by hand."""
        said = {met: _("to tick") if to_tick else _("met") if met else _("not met")
                for met in (False, True)}  # fmt: skip
        gap = 5.0 if size < 12 else 9.0
        style = "body" if size < 12 else "big"
        rows = [
            [Figure(tick_box(size, ticked=met), said[met]), self.paragraph(words, style)]
            for words, met in steps
        ]
        table = Checklist(
            rows,
            colWidths=[size + gap + 4, self.width - size - gap - 4],
            splitInRow=1,
            hAlign="LEFT",
        )
        table.setStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 1),
                ("RIGHTPADDING", (0, 0), (-1, -1), 2),
                ("TOPPADDING", (0, 0), (-1, -1), 1.5 if size < 12 else 4),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5 if size < 12 else 4),
            ]
        )
        return table

    def pdf(
        self,
        story: list[Flowable],
        *,
        title: str,
        author: str,
        footer: str,
        subject: str = "",
        made_at: datetime | None = None,
    ) -> bytes:
        """The story on pages; the same bytes for the same story.

        Every flowable that draws has to be one of `assessments.sheets.tagging`. `made_at` dates
        the file.
        """
        frame = _Frame(
            MARGIN,
            MARGIN + 3 * mm,
            self.width,
            self.height,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
        )
        document = Document(
            size=self.size,
            frames=[frame],
            title=title,
            author=author,
            subject=subject or _("Skill sheet"),
        )

        def foot(canvas: Canvas, number: int, count: int) -> None:
            pages = _("page %(number)s of %(count)s") % {"number": number, "count": count}
            room = self.width - fonts.text_width(pages, 8) - 20
            shown = f"{footer} · {title}" if footer else title
            shown = shortened(fonts.printable(shown), 8, room)
            edge = self.size[0] - MARGIN
            right = edge - fonts.text_width(pages, 8)
            letters = canvas.letters
            canvas.setLineWidth(0.5)
            canvas.line(MARGIN, FOOT + 11, edge, FOOT + 11)
            canvas._code += [
                letters.shown((right, FOOT), fonts.REGULAR, 8, pages),
                letters.shown((MARGIN, FOOT), fonts.REGULAR, 8, shown),
            ]

        return document.drawn(story, foot=foot, made_at=made_at)


def shortened(text: str, size: float, room: float) -> str:
    """The text, cut at its end with an ellipsis where it is wider than `room`."""
    text = " ".join(text.split())
    if fonts.text_width(text, size) <= room:
        return text
    while text and fonts.text_width(f"{text}…", size) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def ruled(rows: list[list], widths: list[float], *, header: bool = False) -> Table:
    """A table with a fine line under each row; the header is shaded and repeated.

    Without a header, every other column labels the next.
    """
    table = (Table if header else Facts)(
        rows, colWidths=widths, repeatRows=int(header), splitInRow=1, hAlign="LEFT", spaceAfter=3
    )
    style = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, grey(0.45)),
        ("LEFTPADDING", (0, 0), (-1, -1), 2),
        ("RIGHTPADDING", (0, 0), (-1, -1), 5),
        ("TOPPADDING", (0, 0), (-1, -1), 2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
    ]
    if header:
        style += [
            ("BACKGROUND", (0, 0), (-1, 0), grey(0.92)),
            ("LINEABOVE", (0, 0), (-1, 0), 0.8, black),
            ("LINEBELOW", (0, 0), (-1, 0), 0.8, black),
        ]
    table.setStyle(style)
    return table


def _padding(points: float) -> list[tuple]:
    sides = ("LEFTPADDING", "RIGHTPADDING", "TOPPADDING", "BOTTOMPADDING")
    return [(side, (0, 0), (-1, -1), points) for side in sides]


@lru_cache(maxsize=16)
def tick_box(size: float, *, ticked: bool) -> Drawing:
    """A box of that size, with a tick in it or empty; not to be changed."""
    made = Drawing(size + 1, size + 2)
    box = Rect(0.5, 0.5, size, size, fillColor=white, strokeColor=black, strokeWidth=0.9)
    made.add(box)
    if ticked:
        points = [(size * 0.2, size * 0.55), (size * 0.45, size * 0.22), (size * 0.95, size * 1.1)]
        made.add(polyline(points, "tick", width=1.6))
    return made
