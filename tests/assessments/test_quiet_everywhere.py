"""Every address of the site, asked by a student whose assessed drill is on: nothing answers it."""

import io
import re
import zipfile
from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse
from django.utils import timezone
from pypdf import PdfReader

from assessments.certification import keys
from coursework.models import Drill
from tests import builders
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db

TELLING = re.compile(r"10\.0° (?:to the )?left|Sun highest|Rises|\blaid_true_deg\b")
SCORED = [
    "attempt-detail",
    "attempt-list",
    "attempt-sheet",
    "exercise-sheet",
    "packet-pdf",
    "person-export",
    "record",
    "record-sheet",
    "site-detail",
]
"""Some that do tell when no drill is on: without them nothing would be tried here."""


def addresses(patterns, before=""):
    """Name and route of every address of the site, those of its maintenance aside."""
    for each in patterns:
        route = before + str(each.pattern)
        if isinstance(each, URLPattern):
            if each.name:
                yield each.name, route
        elif each.namespace is None:
            yield from addresses(each.url_patterns, route)


ROUTES = dict(sorted(addresses(get_resolver().url_patterns)))


@pytest.fixture
def there(monkeypatch):
    """A student with a result of last year at a site where their assessed drill is on now."""
    # A smaller key than a school gets: making it takes most of the time.
    monkeypatch.setattr(keys, "BITS", 2048)
    world = made.world()
    packet = made.issued(world)
    drill, attempt, student = world.drill, world.attempt, world.student
    going_on = builders.drill(
        cohort=drill.cohort,
        exercise=drill.exercise,
        site=drill.site,
        starts_at=timezone.now() - timedelta(minutes=10),
        assessed=True,
    )
    numbers = {
        "attempts": attempt.key,
        "drills": going_on.pk,
        "cohorts": drill.cohort_id,
        "courses": drill.exercise.course_id,
        "exercises": drill.exercise_id,
        "sites": drill.site_id,
        "students": student.pk,
        "people": student.pk,
        "certifications": world.certification.pk,
        "skills": world.skill.pk,
        "packets": packet.pk,
        "days": going_on.starts_at.date().isoformat(),
    }
    return SimpleNamespace(attempt=attempt, student=student, numbers=numbers, going_on=going_on)


def asked(name, there):
    """The response to the student at an address, with the numbers of what stands before them."""
    client = Client()
    client.force_login(there.student)
    values, place = {}, ""
    for part in ROUTES[name].split("/"):
        found = re.search(r"<(?:(\w+):)?(\w+)>", part)
        if found is None:
            place = part
        else:
            values[found[2]] = there.numbers.get(place, "1" * 8)
            if found[1] == "uuid" and place != "attempts":
                values[found[2]] = there.attempt.key
    return client.get(reverse(name, kwargs=values))


def text_of(response) -> str:
    content = b"".join(response.streaming_content) if response.streaming else response.content
    if content.startswith(b"%PDF"):
        return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    if content.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(content)) as file:
            return " ".join(file.read(one).decode() for one in file.namelist())
    return content.decode(errors="replace")


def tells(name, there) -> bool:
    response = asked(name, there)
    return response.status_code == 200 and bool(TELLING.search(text_of(response)))


def test_no_address_tells_what_would_answer_the_drill(there):
    assert [name for name in ROUTES if tells(name, there)] == []


def test_what_is_about_that_site_alone_is_refused(there):
    names = ["planner", "planner-map", "planner-sheet", "sun-card", "standing", "packet-pdf"]
    assert [asked(name, there).status_code for name in names] == [403] * len(names)


def test_the_same_addresses_tell_it_when_the_drill_is_over(there):
    Drill.objects.filter(pk=there.going_on.pk).update(starts_at=timezone.now() - timedelta(hours=3))
    assert [name for name in SCORED if not tells(name, there)] == []


def test_ones_own_data_say_that_some_are_left_out_for_now(there):
    said = text_of(asked("person-export", there))
    assert "1, while an assessed drill is on there" in said
    assert str(there.attempt.key) not in said
