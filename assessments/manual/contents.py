"""The manual in order: chapters of pages."""

from functools import lru_cache

from django.utils.translation import get_language
from django.utils.translation import gettext as _

from assessments.manual import faults, methods, numbers, people
from assessments.manual.parts import Chapter, Page


def chapters() -> list[Chapter]:
    """All of it, in the language in force; parts of pages are made when they are shown."""
    return [
        Chapter(_("First"), (people.safety_page(),)),
        Chapter(_("What the numbers mean"), (*numbers.pages(), *faults.pages())),
        Chapter(_("The methods"), tuple(methods.pages())),
        Chapter(_("Who does what"), tuple(people.pages())),
    ]


def all_pages() -> list[Page]:
    return list(_pages_in(get_language()))


@lru_cache(maxsize=16)
def _pages_in(_language: str | None) -> tuple[Page, ...]:
    # Other pages lead to some of these, and need the title of one each time.
    return tuple(page for chapter in chapters() for page in chapter.pages)


def neighbours(name: str) -> tuple[Page | None, Page, Page | None]:
    """The page before, the page of that name and the one after; LookupError where there is none."""
    pages = all_pages()
    place = next((n for n, page in enumerate(pages) if page.name == name), None)
    if place is None:
        raise LookupError(name)
    after = pages[place + 1] if place + 1 < len(pages) else None
    return (pages[place - 1] if place else None), pages[place], after
