"""A document on its way to bytes: the canvas of all sheets, and what a file says of itself."""

from collections.abc import Callable
from datetime import UTC, datetime
from io import BytesIO

from django.utils.translation import get_language
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from assessments.sheets import fonts
from assessments.sheets.operators import Letters
from assessments.sheets.structure import Tree, describe
from assessments.sheets.tagging import FOOT, artifact


class Document(BaseDocTemplate):
    """A document of one kind of page."""

    def __init__(
        self,
        *,
        size: tuple[float, float],
        frames: list[Frame],
        title: str,
        author: str,
        subject: str,
    ) -> None:
        self.out = BytesIO()
        super().__init__(
            self.out,
            pagesize=size,
            title=title,
            author=author or "Plumbshadow",
            subject=subject,
            creator="Plumbshadow",
            producer="Plumbshadow",
            lang=get_language() or "en-gb",
            displayDocTitle=True,
            invariant=1,
        )
        self.addPageTemplates([PageTemplate(frames=frames)])

    def drawn(
        self,
        story: list[Flowable],
        *,
        foot: Callable[[Canvas, int, int], None],
        made_at: datetime | None = None,
    ) -> bytes:
        """The story as bytes, the same for the same story.

        `foot` draws what stands around each page, given its number and how many there are;
        `made_at` dates the file.
        """

        def canvas(*args, **more) -> _NumberedCanvas:
            return _NumberedCanvas(*args, foot=foot, made_at=made_at, **more)

        self.build(story, canvasmaker=canvas)
        return self.out.getvalue()


class _NumberedCanvas(Canvas):
    """Holds pages back until their number is known, to print page x of y."""

    def __init__(
        self,
        *args,
        foot: Callable[[Canvas, int, int], None],
        made_at: datetime | None,
        **kwargs,
    ) -> None:
        # Otherwise every file names a face that it does not carry.
        kwargs["initialFontName"] = fonts.REGULAR
        super().__init__(*args, **kwargs)
        self._foot, self._held, self._marks = foot, [], []
        self.tags = Tree()
        self.letters = Letters(self._doc)
        # Nothing is transparent, but structure and language are of that version as well.
        self._doc.ensureMinPdfVersion("transparency")
        if made_at is not None:
            # Without one, files are dated 2000: the same story gives the same bytes.
            self._doc._timeStamp.YMDhms = made_at.astimezone(UTC).timetuple()[:6]

    def mark(self, title: str, level: int) -> None:
        """An entry of the outline that leads to this page."""
        self._marks.append((title, level))

    def showPage(self) -> None:  # noqa: N802 - reportlab's name
        self._held.append(dict(self.__dict__))
        self._marks = []
        self._startPage()

    def save(self) -> None:
        held, pages = self._held, []
        for number, state in enumerate(held, start=1):
            self.__dict__.update(state)
            # Only now does the document know which page this is.
            for place, (title, level) in enumerate(self._marks):
                key = f"p{number}-{place}"
                self.bookmarkPage(key)
                self.addOutlineEntry(title, key, level=level, closed=0)
            with artifact(self, FOOT):
                self._foot(self, number, len(held))
            pages.append(self._doc.thisPageRef())
            super().showPage()
            self.tags.finish_page(number, self._doc.Pages.pages[-1])
        self.tags.finish(self._doc, pages)
        describe(self._doc)
        super().save()
