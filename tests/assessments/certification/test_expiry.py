"""What lapses when, on the page and in a calendar (RFC 5545)."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from icalendar import Calendar

from assessments.certification.expiry import calendar_of, lapsing
from assessments.certification.issuing import withdraw_packet
from assessments.models import Packet
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("days", "listed"), [(-1, False), (0, True), (30, True), (31, False)])
def test_the_next_thirty_days_hold_today_and_the_thirtieth(days, listed):
    packet = made.issued(made.world())
    today = packet.expires_on - timedelta(days=days)
    assert (packet in lapsing(Packet.objects.all(), today, 30)) is listed


def test_what_is_withdrawn_lapses_no_more():
    world = made.world()
    packet = withdraw_packet(world.lead, made.issued(world), "By mistake.")
    assert not lapsing(Packet.objects.all(), packet.expires_on, 30)


def test_one_whole_day_a_certificate_with_a_reminder():
    content = calendar_of([made.issued(made.world())])
    calendar = Calendar.from_ical(content)
    (entry,) = calendar.walk("VEVENT")
    assert entry.decoded("DTSTART") == date(2028, 6, 24)
    assert entry.decoded("DTEND") == date(2028, 6, 25)
    assert entry.decoded("DTSTAMP") and entry["UID"]
    assert str(entry["SUMMARY"]) == "Last day: Day navigator, Zofia Świerczyńska"
    assert [alarm.decoded("TRIGGER") for alarm in calendar.walk("VALARM")] == [-timedelta(days=60)]
    assert calendar["VERSION"] == "2.0" and calendar["PRODID"]
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))


def test_it_is_the_same_file_again():
    packet = made.issued(made.world())
    assert calendar_of([packet]) == calendar_of([packet])


def signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def test_the_list_takes_the_days_asked_for():
    world = made.world()
    made.issued(world)
    client = signed_in(world.lead)
    assert "Zofia" not in client.get(reverse("expiry-list"), {"days": 30}).content.decode()
    assert "Zofia" in client.get(reverse("expiry-list"), {"days": 3650}).content.decode()
    bad = client.get(reverse("expiry-list"), {"days": "soon"})
    assert bad.status_code == 200
    assert "Enter a whole number" in bad.content.decode()


def test_the_list_takes_as_many_queries_for_many():
    world = made.world()
    client = signed_in(world.lead)
    made.issued(world)

    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            client.get(reverse("expiry-list"), {"days": 3650})
        return len(found)

    one = queries()
    for number in range(3):
        packet = Packet.objects.first()
        packet.pk, packet.number = None, f"COPY{number}"
        packet.save()
    assert queries() == one
