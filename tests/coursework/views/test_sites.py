"""Sites, reference marks and instruments."""

import pytest
from django.urls import reverse

from coursework.models import Instrument, ReferenceMark, Site
from tests import builders

pytestmark = pytest.mark.django_db
SITE = {
    "name": "Saddle",
    "latitude_deg": "46.5",
    "longitude_deg": "-70.25",
    "elevation_m": "1480",
    "zone": "America/Toronto",
    "horizon": "0:14 90:18",
    "slope_deg": "4",
    "downhill_deg": "30",
    "hazards": "",
    "emergency": "",
}


@pytest.fixture
def lead(client):
    person = builders.lead(builders.cohort())
    client.force_login(person)
    return person


def test_a_new_site_shows_its_position_with_hemispheres_zone_and_ground(client, lead):
    content = client.post(reverse("site-add"), SITE, follow=True).content.decode()
    for words in ("46.5000° N", "70.2500° W", "1480 m", "America/Toronto", "falling towards 030°"):
        assert words in content


@pytest.mark.parametrize(
    ("field", "bad", "sentence"),
    [
        ("zone", "Mars/Base", "“Mars/Base” is not a time zone."),
        ("horizon", "90-4", "“90-4” is not a bearing and an elevation"),
        ("latitude_deg", "91", "Between −89 and 89 degrees"),
        ("elevation_m", "-501", "Between −500 and 9000 metres"),
        ("downhill_deg", "361", "Between 0 and 360 degrees"),
        ("latitude_deg", "nan", "Enter a number"),
        ("name", "", "required"),
    ],
)
def test_a_bad_site_is_refused_with_a_sentence_at_its_field(client, lead, field, bad, sentence):
    errors = client.post(reverse("site-add"), SITE | {field: bad}).context["form"].errors
    assert list(errors) == [field]
    assert sentence in errors[field][0]
    assert not Site.objects.exists()


def test_what_was_typed_is_still_there_after_a_mistake(client, lead):
    response = client.post(reverse("site-add"), SITE | {"zone": "Mars/Base"})
    assert "Saddle" in response.content.decode()
    assert "Nothing is saved yet" in response.content.decode()


def test_a_name_that_the_school_has_already_is_refused(client, lead):
    builders.site(school=lead.school, name="Saddle")
    response = client.post(reverse("site-add"), SITE)
    assert "already has a site of this name" in response.content.decode()


def test_the_skyline_is_drawn_and_its_pairs_are_listed(client, lead):
    site = builders.site(school=lead.school, horizon="0:14 90:18.5")
    content = client.get(reverse("site-detail", args=[site.pk])).content.decode()
    assert "skyline-land" in content
    assert "18.5°" in content


def test_an_open_horizon_is_said_in_words(client, lead):
    site = builders.site(school=lead.school)
    content = client.get(reverse("site-detail", args=[site.pk])).content.decode()
    assert "no skyline recorded" in content


def test_a_mark_is_added_and_removed_after_asking(client, lead):
    site = builders.site(school=lead.school)
    fields = {"name": "Spire", "bearing_deg": "203.4"}
    page = client.post(reverse("mark-add", args=[site.pk]), fields, follow=True)
    assert "203.4°" in page.content.decode()
    address = reverse("mark-remove", args=[ReferenceMark.objects.get().pk])
    client.get(address)
    assert ReferenceMark.objects.exists()
    client.post(address)
    assert not ReferenceMark.objects.exists()


def test_two_marks_of_a_site_may_not_share_a_name(client, lead):
    site = builders.site(school=lead.school)
    builders.mark(site=site, name="Spire")
    fields = {"name": "spire", "bearing_deg": "10"}
    response = client.post(reverse("mark-add", args=[site.pk]), fields)
    assert "already has a mark of this name" in response.content.decode()


def test_a_site_with_a_drill_stays_and_the_page_says_why(client, lead):
    drill = builders.drill(cohort=lead.enrolments.get().cohort)
    remove = reverse("site-remove", args=[drill.site_id])
    asked = client.get(remove).content.decode()
    assert "so it stays" in asked
    assert "Remove the site</button>" not in asked
    assert "so it stays" in client.post(remove, follow=True).content.decode()
    assert Site.objects.filter(pk=drill.site_id).exists()


INSTRUMENT = {"kind": "compass", "label": "7", "correction_deg": "-1.5", "reading_u_deg": "1.5"}


def test_an_instrument_shows_its_correction_with_a_side(client, lead):
    content = client.post(reverse("instrument-add"), INSTRUMENT, follow=True).content.decode()
    assert "1.5° to the left" in content


def test_two_instruments_may_not_be_marked_alike(client, lead):
    builders.instrument(school=lead.school, label="7")
    response = client.post(reverse("instrument-add"), INSTRUMENT)
    assert "already has an instrument marked like this" in response.content.decode()


def test_an_instrument_is_removed_after_asking(client, lead):
    instrument = builders.instrument(school=lead.school)
    address = reverse("instrument-remove", args=[instrument.pk])
    client.get(address)
    assert Instrument.objects.exists()
    client.post(address)
    assert not Instrument.objects.exists()
