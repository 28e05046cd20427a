"""The private calendar file, held to RFC 5545 (https://www.rfc-editor.org/rfc/rfc5545)."""

from datetime import UTC, date, datetime, timedelta

import pytest
import vobject
from django.urls import reverse
from django.utils import timezone

from coursework import services
from coursework.conflicts import LessonPlan
from coursework.drill_policies import own_drills
from coursework.ical import calendar_of
from coursework.models import CalendarFeed, Drill, PlannedLesson
from tests import builders

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)


@pytest.fixture
def drill():
    made = builders.drill(
        starts_at=NOON,
        minutes=75,
        exercise=builders.exercise(title="Shadow-tip line, first; with a comma"),
        changed_at=NOON - timedelta(days=3),
    )
    made.lead = builders.lead(made.cohort, name="Ángela Ström-Ødegård " + "of the long name " * 5)
    made.save()
    return made


def written(*drills) -> bytes:
    rows = Drill.objects.filter(pk__in=[drill.pk for drill in drills])
    rows = rows.with_places().with_people().order_by("pk")
    return calendar_of(rows, name="Drills", address=lambda d: f"https://school.example/{d.pk}")


def read(content: bytes):
    """By a second reader, vobject, which is none of icalendar's."""
    return vobject.readOne(content.decode())


def test_lines_end_in_crlf_and_are_folded_at_75_octets(drill):
    content = written(drill)
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert max(len(line) for line in content.split(b"\r\n")) <= 75
    assert any(line.startswith(b" ") for line in content.split(b"\r\n"))


def test_a_second_reader_finds_what_the_drill_is(drill):
    calendar = read(written(drill))
    assert (calendar.version.value, calendar.prodid.value) == (
        "2.0",
        "-//Plumbshadow//Drills//EN",
    )
    event = calendar.vevent
    assert event.uid.value == str(drill.key)
    assert event.dtstart.value == NOON
    assert event.dtend.value == NOON + timedelta(minutes=75)
    assert event.dtstamp.value == NOON - timedelta(days=3)
    assert event.summary.value == "Shadow-tip line, first; with a comma"
    assert event.location.value == drill.site.name
    assert event.status.value == "CONFIRMED"
    assert drill.lead.name in event.description.value
    assert event.url.value == f"https://school.example/{drill.pk}"


def test_a_change_keeps_the_uid_and_raises_the_sequence(drill):
    before = read(written(drill)).vevent
    services.cancel_drill(drill.lead, drill, reason="Storm.", now=NOON - timedelta(days=1))
    after = read(written(drill)).vevent
    assert after.uid.value == before.uid.value
    assert (before.sequence.value, after.sequence.value) == ("0", "1")
    assert after.dtstamp.value == NOON - timedelta(days=1)
    assert after.status.value == "CANCELLED"
    assert "Storm." in after.description.value


def test_no_drills_make_an_empty_calendar_and_the_same_ones_the_same_bytes(drill):
    assert read(written()).version.value == "2.0"
    assert written(drill) == written(drill)


def test_the_address_is_stored_as_a_fingerprint_and_read_without_signing_in(client, drill):
    token = services.make_feed(drill.lead)
    assert token not in CalendarFeed.objects.get().token_hash
    response = client.get(reverse("calendar-file", args=[token]))
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    assert read(response.content).version.value == "2.0"


def test_a_new_address_ends_the_old_one_and_revoking_ends_both(client, drill):
    old = services.make_feed(drill.lead)
    new = services.make_feed(drill.lead)

    def status(token):
        return client.get(reverse("calendar-file", args=[token])).status_code

    assert (status(old), status(new)) == (404, 200)
    services.revoke_feed(drill.lead)
    assert status(new) == 404


def test_a_closed_account_is_read_no_more(client, drill):
    token = services.make_feed(drill.lead)
    drill.lead.is_active = False
    drill.lead.save()
    assert client.get(reverse("calendar-file", args=[token])).status_code == 404


def test_the_page_shows_an_address_once_and_a_second_visit_does_not(client, drill):
    client.force_login(drill.lead)
    made = client.post(reverse("calendar-feed"))
    address = made.context["address"]
    assert address.endswith(".ics")
    assert address in made.content.decode()
    again = client.get(reverse("calendar-feed")).content.decode()
    assert address not in again
    assert "There is an address, made" in again
    client.post(reverse("calendar-feed-revoke"))
    assert not CalendarFeed.objects.exists()


def test_students_have_the_drills_of_their_own_groups_and_of_the_whole_cohort(drill):
    cohort = drill.cohort
    own, other = builders.student(cohort), builders.student(cohort)
    grouped = builders.drill(cohort=cohort)
    grouped.groups.add(builders.group(own, cohort=cohort))
    grouped.groups.add(builders.group(own, cohort=cohort))
    assert sorted(own_drills(own), key=lambda d: d.pk) == [drill, grouped]
    assert list(own_drills(other)) == [drill]
    assert set(own_drills(drill.lead)) == {drill, grouped}
    assert list(own_drills(builders.person())) == []


def test_the_number_of_queries_of_the_file_depends_on_nothing(
    client, drill, django_assert_num_queries, monkeypatch
):
    monkeypatch.setattr("coursework.views.calendar.timezone.now", lambda: NOON)
    token = services.make_feed(drill.lead)
    for _number in range(4):
        more = builders.drill(cohort=drill.cohort)
        lesson = builders.planned_lesson(cohort=drill.cohort)
        for booking in (more, lesson):
            booking.groups.add(builders.group(cohort=drill.cohort))
    for _number in range(3):
        builders.approval(person=drill.lead)
    # Feed; drills and lessons, each with assistants and groups; approvals, certificates.
    with django_assert_num_queries(9):
        response = client.get(reverse("calendar-file", args=[token]))
    assert len(read(response.content).vevent_list) == 12


def entries(client, person) -> list:
    token = services.make_feed(person)
    content = client.get(reverse("calendar-file", args=[token])).content
    listed = read(content).contents.get("vevent", [])
    return [one for one in listed if "Last day" in one.summary.value]


def test_the_last_day_of_an_approval_is_an_entry_of_that_day_with_a_reminder(client, drill):
    builders.approval(
        person=drill.lead, issued_on=date(2025, 5, 1), expires_on=date(2027, 5, 31), detail="No. 7"
    )
    (entry,) = entries(client, drill.lead)
    assert entry.summary.value == "Last day: first aid"
    assert (entry.dtstart.value, entry.dtend.value) == (date(2027, 5, 31), date(2027, 6, 1))
    assert entry.valarm.trigger.value == -timedelta(days=60)
    assert entry.description.value == "No. 7"


def test_a_renewed_approval_stays_as_cancelled_under_its_uid(client, drill):
    builders.approval(person=drill.lead, issued_on=date(2025, 5, 1), expires_on=date(2027, 5, 31))
    (before,) = entries(client, drill.lead)
    builders.approval(person=drill.lead, issued_on=date(2027, 5, 1), expires_on=date(2029, 5, 31))
    old, new = entries(client, drill.lead)
    assert old.uid.value == before.uid.value
    assert (old.status.value, old.sequence.value) == ("CANCELLED", "1")
    assert not hasattr(old, "valarm")
    assert not hasattr(new, "status")


def test_nobody_else_reads_of_an_approval(client, drill):
    builders.approval(person=drill.lead)
    assert entries(client, builders.assistant(drill.cohort)) == []


def lessons_file(*planned) -> bytes:
    rows = PlannedLesson.objects.filter(pk__in=[one.pk for one in planned])
    rows = rows.with_places().with_people().order_by("pk")
    return calendar_of(rows, name="Lessons", address=lambda one: f"https://school.example/{one.pk}")


def test_a_second_reader_finds_what_a_planned_lesson_is():
    made = builders.planned_lesson(
        place="School room; upstairs", note="Pencils, paper", starts_at=NOON
    )
    event = read(lessons_file(made)).vevent
    assert (event.uid.value, event.sequence.value) == (str(made.key), "0")
    assert (event.dtstart.value, event.dtend.value) == (NOON, NOON + timedelta(hours=1))
    assert event.summary.value == f"Lesson: {made.lesson.title}"
    assert event.location.value == "School room; upstairs"
    assert "Pencils, paper" in event.description.value
    assert not hasattr(event, "geo")


def test_a_lesson_keeps_its_uid_when_it_moves_and_stays_as_cancelled(client):
    today = timezone.localdate()
    cohort = builders.cohort(starts_on=today, ends_on=today + timedelta(days=30))
    lead = builders.lead(cohort)
    made = builders.planned_lesson(
        cohort=cohort, lead=lead, starts_at=timezone.now() + timedelta(days=2)
    )
    token = services.make_feed(lead)

    def event():
        return read(client.get(reverse("calendar-file", args=[token])).content).vevent

    first = event()
    made.starts_at += timedelta(days=1)
    services.save_planned_lesson(lead, LessonPlan.of(made))
    moved = event()
    services.cancel_planned_lesson(lead, made, reason="Snow.")
    cancelled = event()
    assert first.uid.value == moved.uid.value == cancelled.uid.value
    assert [one.sequence.value for one in (first, moved, cancelled)] == ["0", "1", "2"]
    assert (moved.status.value, cancelled.status.value) == ("CONFIRMED", "CANCELLED")
    assert cancelled.summary.value.startswith("Cancelled: Lesson:")
