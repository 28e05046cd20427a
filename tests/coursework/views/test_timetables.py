"""A timetable asked for, kept in part, asked for again and accepted, over its page."""

from datetime import UTC, datetime

import pytest
from django.urls import reverse

from coursework.models import Drill
from tests import builders

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 9, 1, tzinfo=UTC)


@pytest.fixture
def cohort(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOW)
    return builders.cohort()


@pytest.fixture
def asked(client, cohort):
    lead = builders.lead(cohort)
    client.force_login(lead)
    groups = [builders.group(builders.student(cohort), cohort=cohort) for _n in range(2)]
    return {
        "first": "2026-09-22",
        "last": "2026-09-22",
        "begins": "10:00",
        "ends": "16:00",
        "minutes": "60",
        "gap": "0",
        "exercises": [builders.exercise(course=cohort.course, title="Tip line").pk],
        "groups": [group.pk for group in groups],
        "sites": [builders.site(school=lead.school).pk],
        "staff": [lead.pk],
        "act": "ask",
    }


def send(client, cohort, asked, **more):
    return client.post(reverse("timetable", args=[cohort.pk]), asked | more)


def test_nothing_is_stored_until_it_is_accepted(client, cohort, asked):
    shown = send(client, cohort, asked)
    content = shown.content.decode()
    assert "2 drills are placed." in content
    assert "Best possible" in content
    assert not Drill.objects.exists()
    proposal = shown.context["proposal"]
    assert send(client, cohort, asked, act="accept", proposal=proposal).status_code == 302
    assert Drill.objects.count() == 2


def test_what_is_kept_stays_where_it_is_and_is_pinned(client, cohort, asked):
    shown = send(client, cohort, asked)
    first = shown.context["rows"][1].session
    again = send(client, cohort, asked, proposal=shown.context["proposal"], keep=["1"])
    (kept,) = [row for row in again.context["rows"] if row.kept]
    assert (kept.session.starts_at, kept.session.group) == (first.starts_at, first.group)
    proposal, number = again.context["proposal"], str(kept.number)
    send(client, cohort, asked, act="accept", proposal=proposal, keep=[number])
    assert Drill.objects.get(pinned=True).starts_at == first.starts_at
    # Asked once more, the pinned one is left alone and only the other is placed.
    third = send(client, cohort, asked)
    assert (len(third.context["rows"]), len(third.context["replaced"])) == (1, 1)


def test_a_proposal_that_was_tampered_with_or_is_of_another_question_is_not_planned(
    client, cohort, asked
):
    shown = send(client, cohort, asked)
    forged = shown.context["proposal"][:-2] + "xx"
    send(client, cohort, asked, act="accept", proposal=forged)
    elsewhere = asked | {"sites": [builders.site(school=cohort.course.school).pk]}
    other = send(client, cohort, elsewhere, act="accept", proposal=shown.context["proposal"])
    assert "Ask again" in other.content.decode()
    assert not Drill.objects.exists()


def test_what_cannot_be_placed_says_why(client, cohort, asked):
    content = send(client, cohort, asked, begins="10:00", ends="11:00").content.decode()
    assert "Could not be placed" in content


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"last": "2026-09-21"}, "The last day is before the first."),
        ({"last": "2026-10-06"}, "At most 14 days at a time."),
        ({"ends": "09:00"}, "The day ends before it begins."),
    ],
)
def test_what_cannot_be_asked_is_said_at_its_field(client, cohort, asked, wrong, said):
    assert said in send(client, cohort, asked, **wrong).content.decode()
