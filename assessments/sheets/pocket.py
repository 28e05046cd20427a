"""Paper for the pocket: four small pages on a sheet, to be cut apart along two lines.

On A4 each page is an A6 one; on Letter, a quarter of the sheet.
"""

from django.utils.translation import gettext as _
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Frame

from assessments.sheets import fonts
from assessments.sheets.layout import Composer, shortened
from assessments.sheets.paper import Document
from assessments.sheets.shapes import grey
from assessments.sheets.tagging import artifact

EDGE = 8 * mm
FOOT = 7 * mm
_A_SHEET = 4
_LINE_APART = 8 * mm
_FEWEST_LINES = 4


class PocketComposer(Composer):
    """A composer whose parts are as wide as one small page."""

    def __init__(self, paper: str) -> None:
        super().__init__(paper)
        self.page = (self.size[0] / 2, self.size[1] / 2)
        self.width = self.page[0] - 2 * EDGE

    def corner(self, number: int) -> tuple[float, float]:
        """Lower left corner of a small page (0 to 3): left to right, then down."""
        return (number % 2) * self.page[0], (1 - number // 2) * self.page[1]

    def pdf(self, story: list[Flowable], *, title: str, author: str, footer: str) -> bytes:
        """The story on small pages, numbered; what is left of the last sheet is lined."""
        document = _PocketDocument(
            size=self.size,
            frames=[self._frame(number) for number in range(_A_SHEET)],
            title=title,
            author=author,
            subject=_("Lesson plan"),
        )

        def foot(canvas: Canvas, sheet: int, _count: int) -> None:
            self._cut_lines(canvas)
            for number in range(_A_SHEET):
                page = (sheet - 1) * _A_SHEET + number
                if page < document.pages_filled:
                    said = {"number": page + 1, "count": document.pages_filled}
                    pages = _("%(number)s of %(count)s") % said
                    self._foot(canvas, number, f"{footer} · {title}", pages)
                else:
                    self._notes(canvas, number)

        return document.drawn([*story, RestLined()], foot=foot)

    def _frame(self, number: int) -> Frame:
        left, bottom = self.corner(number)
        return Frame(
            left + EDGE,
            bottom + EDGE + FOOT,
            self.width,
            self.page[1] - 2 * EDGE - FOOT,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
            id=f"page-{number}",
        )

    def _cut_lines(self, canvas: Canvas) -> None:
        width, height = self.size
        canvas.saveState()
        canvas.setStrokeColor(grey(0.55))
        canvas.setLineWidth(0.4)
        canvas.setDash(3, 3)
        canvas.line(width / 2, 0, width / 2, height)
        canvas.line(0, height / 2, width, height / 2)
        canvas.restoreState()

    def _foot(self, canvas: Canvas, number: int, words: str, pages: str) -> None:
        left, bottom = self.corner(number)
        right = left + self.page[0] - EDGE
        canvas.setStrokeColor(black)
        canvas.setLineWidth(0.5)
        canvas.line(left + EDGE, bottom + EDGE + 10, right, bottom + EDGE + 10)
        canvas.setFont(fonts.REGULAR, 7)
        canvas.drawRightString(right, bottom + EDGE, pages)
        room = self.width - fonts.text_width(pages, 7) - 12
        canvas.drawString(left + EDGE, bottom + EDGE, shortened(fonts.printable(words), 7, room))

    def _notes(self, canvas: Canvas, number: int) -> None:
        """Lines to write on."""
        left, bottom = self.corner(number)
        top = bottom + self.page[1] - EDGE
        canvas.setFont(fonts.BOLD, 11)
        canvas.drawString(left + EDGE, top - 11, _("Notes"))
        right = left + self.page[0] - EDGE
        _lines(canvas, left + EDGE, right, top - 11 - _LINE_APART, bottom + EDGE)


class RestLined(Flowable):
    """Lines to write on, down to the foot of the page; nothing where little room is left."""

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        self.width = available_width
        lines = int(available_height // _LINE_APART)
        self.height = lines * _LINE_APART if lines >= _FEWEST_LINES else 0.0
        return self.width, self.height

    def draw(self) -> None:
        if self.height:
            with artifact(self.canv):
                self.canv.setFont(fonts.BOLD, 11)
                self.canv.drawString(0, self.height - 20, _("Notes"))
                _lines(self.canv, 0, self.width, self.height - 20 - _LINE_APART, 0)


def _lines(canvas: Canvas, left: float, right: float, top: float, bottom: float) -> None:
    canvas.setStrokeColor(grey(0.6))
    canvas.setLineWidth(0.4)
    y = top
    while y >= bottom:
        canvas.line(left, y, right, y)
        y -= _LINE_APART


class _PocketDocument(Document):
    """Counts the small pages that were begun."""

    pages_filled = 0

    def handle_frameBegin(self, *args, **more) -> None:  # noqa: N802 - reportlab's name
        super().handle_frameBegin(*args, **more)
        self.pages_filled += 1
