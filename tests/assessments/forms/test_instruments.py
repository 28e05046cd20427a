"""Which instruments a check of a line may name, and what is said of them."""

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    return results.drill()


@pytest.fixture
def school(drill):
    return drill.site.school


@pytest.fixture
def lead(client, drill):
    person = builders.lead(drill.cohort)
    client.force_login(person)
    return person


def log_page(client, drill) -> str:
    student = builders.student(drill.cohort)
    address = reverse("attempt-log", args=[drill.pk])
    return client.get(address, {"student": student.pk}).content.decode()


def checked(school, day: str, **fields):
    instrument = builders.instrument(school=school, **fields)
    builders.instrument_check(instrument=instrument, checked_on=day)
    return instrument


def test_the_form_says_whose_check_is_overdue(client, drill, school, lead):
    checked(school, "2025-06-01", label="fresh")
    checked(school, "2023-06-01", label="stale")
    builders.instrument(school=school, label="new")
    page = log_page(client, drill)
    assert "compass fresh (correction +0.5°)" in page
    assert "compass stale (correction +0.5°, CHECK OVERDUE)" in page
    assert "compass new (correction 0°, NEVER CHECKED)" in page


def test_a_retired_one_is_not_offered(client, drill, school, lead):
    builders.instrument(school=school, label="gone", retired_at=timezone.now())
    assert "compass gone" not in log_page(client, drill)


def test_a_correction_still_offers_the_one_that_was_used(client, drill, school, lead):
    used = builders.instrument(school=school, label="gone")
    columns = {"check": "compass", "reading_deg": "340"}
    attempt = results.attempt(of=drill, instrument=used, columns=columns)
    used.retired_at = timezone.now()
    used.save()
    page = client.get(reverse("attempt-correct", args=[attempt.key])).content.decode()
    assert "compass gone" in page


@pytest.mark.parametrize(
    ("day", "is_said"), [("2023-06-01", True), ("2025-06-01", False), ("2025-06-21", True)]
)
def test_the_page_of_a_result_says_that_the_check_was_overdue_that_day(
    client, drill, school, lead, day, is_said
):
    instrument = checked(school, day)
    columns = {"check": "compass", "reading_deg": "340"}
    attempt = results.attempt(of=drill, instrument=instrument, columns=columns)
    page = client.get(attempt.get_absolute_url()).content.decode()
    assert ("own check was overdue" in page) is is_said
