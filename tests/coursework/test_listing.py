"""Lists as CSV: whole, streamed, and without formulas."""

import csv
import io
from datetime import UTC, date, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from assessments.models import LeadNote
from coursework.listing import cell, csv_lines, csv_response
from tests import builders
from tests.assessments import results
from tests.assessments.certification import made


# OWASP, "CSV Injection": cells that start with one of these run as formulas (from memory).
@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\r"])
def test_text_that_would_be_a_formula_is_marked_as_text(first):
    assert cell(f"{first}1+1") == f"'{first}1+1"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (-2.5, "-2.5"),
        (-3, "-3"),
        (10.0, "10"),
        (0.1 + 0.2, "0.3"),
        (None, ""),
        (True, "yes"),
        (date(2026, 6, 1), "2026-06-01"),
        (datetime(2026, 6, 1, 9, 0, tzinfo=UTC), "2026-06-01T09:00:00+00:00"),
        ("plain", "plain"),
    ],
)
def test_numbers_and_dates_stay_what_they_are(value, text):
    assert cell(value) == text


@given(st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"))))
def test_any_text_comes_back_from_the_file_but_for_the_mark(texts):
    lines = "".join(csv_lines([("text", lambda text: text)], texts))
    read = [row[0] if row else "" for row in csv.reader(io.StringIO(lines, newline=""))]
    assert read[1:] == [cell(text) for text in texts]


def test_rows_are_read_only_as_they_are_sent():
    read = []

    def rows():
        for number in range(3):
            read.append(number)
            yield number

    response = csv_response("numbers", [("number", lambda number: number)], rows())
    parts = iter(response.streaming_content)
    assert next(parts) == b"number\r\n"
    assert read == []
    assert next(parts) == b"0\r\n"
    assert read == [0]


LISTS = [
    "attempt-list",
    "person-list",
    "drill-list",
    "instrument-list",
    "incident-list",
    "cohort-list",
    "site-list",
    "course-list",
    "correction-list",
    "staff-list",
    "invitation-list",
    "lead-notes",
]


@pytest.mark.django_db
@pytest.mark.parametrize("name", LISTS)
def test_every_list_can_be_saved_and_says_so(client, name):
    attempt = results.attempt(remark="=1+1")
    school = attempt.drill.site.school
    builders.instrument(school=school, label="-5")
    builders.incident(school=school)
    builders.approval(person=builders.person(school=school, name="+1"))
    builders.invitation(cohort=attempt.drill.cohort, note="=1+1")
    LeadNote.objects.create(
        school=school,
        about="=1+1",
        reason="@reason",
        said=[["+1", "=2"]],
        noted_by=attempt.student,
        made_at=timezone.now(),
    )
    client.force_login(builders.administrator(school=school, name="@admin"))
    page = client.get(reverse(name)).content.decode()
    assert "as=csv" in page
    response = client.get(reverse(name), {"as": "csv"})
    assert response["Content-Type"] == "text/csv; charset=utf-8"
    rows = list(csv.reader(io.StringIO(b"".join(response).decode(), newline="")))
    assert len(rows) >= (1 if name == "correction-list" else 2)
    assert len({len(row) for row in rows}) == 1
    assert not [text for row in rows for text in row if text.startswith(("=", "+", "@"))]


@pytest.mark.django_db
def test_certificates_that_lapse_soon_can_be_saved(client):
    world = made.world()
    packet = made.issued(world)
    packet.expires_on = timezone.now().date() + timedelta(days=10)
    packet.holder = "=1+1"
    packet.save()
    client.force_login(world.administrator)
    assert "as=csv" in client.get(reverse("expiry-list")).content.decode()
    saved = b"".join(client.get(reverse("expiry-list"), {"as": "csv"})).decode()
    assert f"{packet.number_in_groups},Day navigator,'=1+1," in saved


@pytest.mark.django_db
def test_the_file_is_narrowed_as_the_list_is(client):
    attempt = results.attempt()
    client.force_login(builders.lead(attempt.drill.cohort))
    asked = {"as": "csv", "student": attempt.student_id, "verdict": "no result"}
    content = b"".join(client.get(reverse("attempt-list"), asked))
    assert content.count(b"\r\n") == 1


@pytest.mark.django_db
def test_a_list_of_results_takes_as_many_queries_for_many(client, django_assert_num_queries):
    of = results.drill()
    lead = builders.lead(of.cohort)
    client.force_login(lead)
    student = builders.student(of.cohort)
    for number in (1, 4):
        for _ in range(number):
            results.attempt(of=of, by=lead, student=student)
        # Session, person, roles, and all rows at once.
        with django_assert_num_queries(4):
            b"".join(client.get(reverse("attempt-list"), {"as": "csv"}))
