"""The sample course that is shipped with the application, as a course file of each language."""

import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from django.utils.translation import get_language

from coursework.exchange.reading import CourseFile, read

_HERE = Path(__file__).parent
OTHERWISE = "en"
FILES = {OTHERWISE: _HERE / "sample_course.json", "fr": _HERE / "sample_course.fr.json"}
"""By the first part of a language's code: one course, of which only the words differ."""


@dataclass(frozen=True)
class Offer:
    """What the sample holds, for whoever may adopt it."""

    title: str
    lessons: int
    exercises: int


def sample_course() -> CourseFile:
    """The course in the reader's language as unsaved rows, new ones at each call."""
    return read(FILES[_language()].read_bytes())


def offer() -> Offer:
    """The course in the reader's language."""
    return _offer(_language())


def titles() -> list[str]:
    """What the course is called in each language: a school needs one of them."""
    return [_offer(code).title for code in FILES]


def _language() -> str:
    code = (get_language() or OTHERWISE).partition("-")[0]
    return code if code in FILES else OTHERWISE


@lru_cache(maxsize=len(FILES))
def _offer(code: str) -> Offer:
    """Counted without being read as a course: the tables’ own checks ask the database."""
    document = json.loads(FILES[code].read_text(encoding="utf-8"))
    title = document["course"]["title"]
    return Offer(title, len(document["lessons"]), len(document["exercises"]))
