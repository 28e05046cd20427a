"""The whole manual on paper, with its glossary: one PDF with an outline to leaf through."""

from collections.abc import Iterator, Sequence

from django.utils.translation import gettext as _
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak

from assessments.manual.contents import chapters
from assessments.manual.glossary import terms
from assessments.manual.parts import Figure, Heading, Page, Part, Rows, Text
from assessments.sheets.figures import figure_of
from assessments.sheets.layout import Composer, Mark
from assessments.sheets.markdown_parts import outline_parts

_FIGURE_HEIGHT = 300.0
_LEAST_ROOM = 110.0
# A short page of the manual goes on below the one before it where so much of the paper is left.
_HALF_A_PAGE = 330.0
_BETWEEN_PAGES = 28.0


def render_pdf(*, paper: str = "a4", school: str = "") -> bytes:
    """All pages and the glossary on `paper` ("a4" or "letter"); ValueError for another paper."""
    composer = Composer(paper)
    title = _("Plumbshadow: the manual")
    return composer.pdf(
        list(_story(composer)), title=title, author=school, footer=school, subject=_("Manual")
    )


def _story(composer: Composer) -> Iterator[Flowable]:
    yield Mark(_("Contents"))
    yield composer.paragraph(_("Plumbshadow: the manual"), "title")
    yield composer.paragraph(
        _("Finding direction by shadow, watch, hand and stars, and what a result means"),
        "under-title",
    )
    for chapter in chapters():
        yield from composer.section(chapter.title)
        yield from composer.items(f"{page.title}. {page.summary}" for page in chapter.pages)
    yield from composer.section(
        _("Glossary"),
        *composer.items([_("What the words of the trade and of the application mean.")]),
    )
    yield from composer.cautions("")
    for chapter in chapters():
        yield PageBreak()
        for page in chapter.pages:
            yield CondPageBreak(_HALF_A_PAGE)
            yield Mark(page.title)
            yield from _page(page, chapter.title, composer)
    yield PageBreak()
    yield Mark(_("Glossary"))
    yield composer.paragraph(_("Glossary"), "title")
    rows = [[term.word, term.meaning] for term in terms()]
    yield composer.table([_("Term"), _("Meaning")], rows, [1, 2.6])


def _page(page: Page, chapter: str, composer: Composer) -> Iterator[Flowable]:
    title = composer.paragraph(page.title, "title")
    # Nothing at the top of a paper; below another page of the manual, room.
    title.spaceBefore = _BETWEEN_PAGES
    yield title
    yield composer.paragraph(chapter, "under-title")
    parts = page.build()
    for place, part in enumerate(parts):
        yield from _part(part, parts[place + 1 :], composer)


def _part(part: Part, after: Sequence[Part], composer: Composer) -> Iterator[Flowable]:
    match part:
        case Heading(text):
            yield CondPageBreak(_LEAST_ROOM + (60.0 if isinstance(after[0], Rows) else 0.0))
            yield composer.paragraph(text, "section")
        case Text():
            yield from outline_parts(part.for_paper, composer)
        case Figure():
            size = {"width": composer.width, "height": _FIGURE_HEIGHT}
            drawn = figure_of(part.drawing, part.numbers, **size, zone=part.zone)
            yield KeepTogether([drawn, composer.paragraph(part.caption, "small")])
        case Rows():
            first = 1.7 if len(part.header) > 2 else 1.0
            widths = [first, *[1.0 if len(part.header) > 2 else 1.4] * (len(part.header) - 1)]
            table = composer.table(list(part.header), [list(row) for row in part.rows], widths)
            caption = composer.paragraph(part.caption, "label")
            caption.spaceBefore = 6.0
            yield KeepTogether([caption, table])
