"""A person's certificates in their private calendar, read by a second reader (vobject)."""

from datetime import timedelta

import pytest
import vobject
from django.urls import reverse

from assessments.certification.issuing import withdraw_packet
from coursework import services
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


def entries(client, person) -> list:
    token = services.make_feed(person)
    calendar = vobject.readOne(client.get(reverse("calendar-file", args=[token])).content.decode())
    events = calendar.contents.get("vevent", [])
    return [event for event in events if event.uid.value.startswith("certificate-")]


def test_the_last_day_of_a_certificate_is_in_the_calendar_of_its_holder_alone(client):
    world = made.world()
    packet = made.issued(world)
    (entry,) = entries(client, packet.student)
    assert entry.dtstart.value == packet.expires_on
    assert entry.dtend.value == packet.expires_on + timedelta(days=1)
    assert packet.certification.title in entry.summary.value
    assert entries(client, world.lead) == []


def test_a_withdrawn_certificate_stays_as_cancelled(client):
    world = made.world()
    packet = made.issued(world)
    (before,) = entries(client, packet.student)
    withdraw_packet(world.lead, packet, "By mistake.")
    (after,) = entries(client, packet.student)
    assert after.uid.value == before.uid.value
    assert (after.status.value, after.sequence.value) == ("CANCELLED", "1")
