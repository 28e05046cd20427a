"""Pages of instruments."""

import pytest
from django.urls import reverse

from coursework.models import Instrument, InstrumentCheck, SchoolSettings
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(client):
    person = builders.lead(builders.cohort())
    client.force_login(person)
    return person


@pytest.fixture
def compass(lead):
    return builders.instrument(school=lead.school, label="A")


def text(client, name, *args, **query) -> str:
    return client.get(reverse(name, args=args), query).content.decode()


def typed(mark, **fields) -> dict:
    base = {"mark": mark.pk, "day": "2026-03-10", "clock": "09:30", "resolution_deg": "1"}
    return base | {"readings": "119 120 121", "remark": ""} | fields


def test_a_check_is_read_by_the_clock_of_the_site_and_shown_with_what_follows(
    client, lead, compass
):
    site = builders.site(school=lead.school, name="Upper Meadow")
    mark = builders.mark(site=site, name="Chapel spire", bearing_deg=123.4)
    address = reverse("instrument-check", args=[compass.pk])
    page = client.post(address, typed(mark), follow=True).content.decode()
    made = InstrumentCheck.objects.get()
    assert f"{made.checked_at:%H:%M}" == "08:30"
    for words in ("Chapel spire at 123.4° true", "WMM-2025", "119°, 120°, 121°", lead.name):
        assert words in page
    assert "Tue 10 March 2026, 09:30 CET" in page


def test_a_check_that_cannot_be_is_said_at_its_field_and_nothing_is_saved(client, lead, compass):
    mark = builders.mark(site=builders.site(school=lead.school))
    address = reverse("instrument-check", args=[compass.pk])
    page = client.post(address, typed(mark, readings="10 120 121")).content.decode()
    assert "at least one is a slip" in page
    assert not InstrumentCheck.objects.exists()


def test_without_a_surveyed_mark_the_page_says_what_to_do_first(client, compass):
    assert "Add one to a site first" in text(client, "instrument-check", compass.pk)


def test_marks_of_another_school_are_not_offered(client, lead, compass):
    builders.mark(site=builders.site(school=lead.school))
    builders.mark(name="Elsewhere")
    assert "Elsewhere" not in text(client, "instrument-check", compass.pk)


def test_a_page_and_the_list_say_that_a_check_is_overdue(client, compass):
    builders.instrument_check(instrument=compass, checked_on="2020-01-01")
    assert "overdue since 31 December 2020" in text(client, "instrument-detail", compass.pk)
    assert "overdue since 31 December 2020" in text(client, "instrument-list")


def test_a_page_and_the_list_say_that_there_was_never_a_check(client, compass):
    assert "Never checked" in text(client, "instrument-detail", compass.pk)
    assert "never checked" in text(client, "instrument-list")


def test_retiring_asks_first_and_can_be_taken_back(client, compass):
    address = reverse("instrument-retire", args=[compass.pk])
    client.get(address)
    assert not Instrument.objects.get().is_retired
    client.post(address)
    assert Instrument.objects.get().is_retired
    client.post(address)
    assert not Instrument.objects.get().is_retired


def test_what_a_check_found_is_shown_to_hundredths_and_saved_unrounded(client, lead, compass):
    mark = builders.mark(site=builders.site(school=lead.school), bearing_deg=123.4)
    client.post(reverse("instrument-check", args=[compass.pk]), typed(mark), follow=True)
    compass.refresh_from_db()
    found = compass.correction_deg
    assert round(found, 2) != found
    page = text(client, "instrument-edit", compass.pk)
    assert f'value="{round(found, 2)}"' in page
    assert str(found) not in page
    fields = {"label": "A2", "check_interval_days": "200", "kind": "compass"}
    client.post(reverse("instrument-edit", args=[compass.pk]), fields)
    compass.refresh_from_db()
    assert (compass.label, compass.correction_deg) == ("A2", found)


def test_a_new_instrument_starts_with_the_schools_days_between_checks(client, lead):
    SchoolSettings.objects.create(school=lead.school, check_interval_days=90)
    assert 'value="90"' in text(client, "instrument-add")


@pytest.mark.parametrize(
    ("state", "labels"), [("overdue", {"never"}), ("in-time", {"fresh"}), ("retired", {"gone"})]
)
def test_the_list_is_narrowed_by_the_state_of_the_check(client, lead, state, labels):
    builders.instrument(school=lead.school, label="never")
    fresh = builders.instrument(school=lead.school, label="fresh", check_interval_days=3660)
    builders.instrument_check(instrument=fresh, checked_on="2026-01-10")
    gone = builders.instrument(school=lead.school, label="gone")
    client.post(reverse("instrument-retire", args=[gone.pk]))
    page = client.get(reverse("instrument-list"), {"state": state}).context["page"]
    assert {instrument.label for instrument in page} == labels
