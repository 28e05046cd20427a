"""The calendar of the drills that someone may see."""

import re
from datetime import UTC, datetime

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db
# Late in the evening of the 22nd at the site, the 22nd still in UTC.
EVENING = datetime(2026, 9, 22, 21, 30, tzinfo=UTC)


@pytest.fixture
def drill():
    return builders.drill(
        starts_at=EVENING, minutes=20, exercise=builders.exercise(title="Pole star")
    )


def page(client, **query):
    return client.get(reverse("calendar"), {"date": "2026-09-22"} | query)


@pytest.mark.parametrize("view", ["agenda", "week", "month", "", "year"])
def test_a_drill_stands_on_its_date_by_the_clock_of_its_site(client, drill, view):
    client.force_login(builders.lead(drill.cohort))
    response = page(client, view=view)
    assert "Pole star" in response.content.decode()
    assert re.search(r"23:30(–23:50)? CEST", response.content.decode())
    days = response.context["days"] or [d for w in response.context["weeks"] for d in w]
    assert [f"{day.date}" for day in days if day.bookings] == ["2026-09-22"]


def test_a_cancelled_drill_is_shown_as_that(client, drill):
    drill.cancelled_at = EVENING
    drill.save()
    client.force_login(builders.lead(drill.cohort))
    assert "cancelled" in page(client).content.decode()


def test_students_see_their_own_groups_first_and_all_when_they_ask(client, drill):
    drill.groups.add(builders.group(cohort=drill.cohort))
    client.force_login(builders.student(drill.cohort))
    assert "Pole star" not in page(client).content.decode()
    assert "Pole star" in page(client, whose="all").content.decode()
    assert "Run sheet" not in page(client, whose="all").content.decode()


@pytest.mark.parametrize("day", ["x", "2026-02-30", "9999-12-31", "0001-01-01"])
def test_a_date_that_cannot_be_shown_is_today(client, drill, day):
    client.force_login(builders.lead(drill.cohort))
    response = page(client, date=day)
    assert response.context["span"].day == response.context["today"]


def test_the_number_of_queries_depends_on_nothing(client, drill, django_assert_max_num_queries):
    client.force_login(builders.lead(drill.cohort))
    for _number in range(5):
        more = builders.drill(cohort=drill.cohort, starts_at=EVENING)
        lesson = builders.planned_lesson(cohort=drill.cohort, starts_at=EVENING)
        for booking in (more, lesson):
            booking.groups.add(builders.group(cohort=drill.cohort))
    with django_assert_max_num_queries(10):
        assert len(page(client, view="month").content) > 0


@pytest.mark.parametrize(
    ("view", "words"),
    [("agenda", "Nothing is planned until"), ("month", "Nothing is planned in these days.")],
)
def test_a_calendar_without_drills_says_so(client, drill, view, words):
    client.force_login(builders.lead(drill.cohort))
    assert words not in page(client, view=view).content.decode()
    drill.delete()
    assert words in page(client, view=view).content.decode()
