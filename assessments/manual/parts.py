"""What a page of the manual is made of, for whoever shows or prints it."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from django.urls import reverse

from assessments.sheets.words import Numbers

# A link inside the manual: "[own error](term:own-error)", "[the split](page:split)".
_INSIDE = re.compile(r"\[([^\]]+)\]\((term|page):([a-z0-9-]+)\)")


@dataclass(frozen=True)
class Heading:
    text: str


@dataclass(frozen=True)
class Text:
    """Markdown; links inside the manual name a term or a page."""

    markdown: str

    @property
    def for_page(self) -> str:
        """With the addresses of terms and pages."""
        return _INSIDE.sub(lambda found: f"[{found[1]}]({address_of(found[2], found[3])})",
                           self.markdown)  # fmt: skip

    @property
    def for_paper(self) -> str:
        """Without links inside the manual: paper has nothing to press."""
        return _INSIDE.sub(r"\1", self.markdown)

    @property
    def links(self) -> list[tuple[str, str]]:
        """Kind ("term", "page") and name of every link inside the manual."""
        return [(kind, name) for _words, kind, name in _INSIDE.findall(self.markdown)]


@dataclass(frozen=True)
class Figure:
    """A scored line, drawn by the drawing code; `numbers` are those of the score."""

    name: str
    drawing: dict
    numbers: Numbers
    zone: str
    caption: str


@dataclass(frozen=True)
class Rows:
    """A table with its caption; the first cell of each row names it."""

    caption: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Part = Heading | Text | Figure | Rows


@dataclass(frozen=True)
class Page:
    """One short page. `build` makes its parts in the language in force."""

    name: str
    title: str
    summary: str
    build: Callable[[], list[Part]]

    @property
    def address(self) -> str:
        return address_of("page", self.name)


@dataclass(frozen=True)
class Chapter:
    title: str
    pages: tuple[Page, ...]


def address_of(kind: str, name: str) -> str:
    """The address of a page of the manual, or of a term of its glossary."""
    if kind == "term":
        return f"{reverse('manual-glossary')}#{name}"
    return reverse("manual-page", args=[name])
