"""The sample course that is shipped with the application, as a course file."""

import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from coursework.exchange.reading import CourseFile, read

FILE = Path(__file__).with_name("sample_course.json")


@dataclass(frozen=True)
class Offer:
    """What the sample holds, for whoever may adopt it."""

    title: str
    lessons: int
    exercises: int


def sample_course() -> CourseFile:
    """The course as unsaved rows, new ones at each call."""
    return read(FILE.read_bytes())


@lru_cache(maxsize=1)
def offer() -> Offer:
    """Counted without being read as a course: the tables’ own checks ask the database."""
    document = json.loads(FILE.read_text(encoding="utf-8"))
    title = document["course"]["title"]
    return Offer(title, len(document["lessons"]), len(document["exercises"]))
