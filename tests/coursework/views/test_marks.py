"""Reference marks: by coordinates or by a measured bearing."""

import pytest
from django.urls import reverse

from coursework.models import ReferenceMark
from tests import builders

pytestmark = pytest.mark.django_db
SPIRE = {"name": "Spire", "position": "", "bearing_deg": "203.4", "bearing_u_deg": ""}
# A kilometre and a bit north of the site of the builders (46.72 N 8.18 E).
NORTHWARD = {"position": "46.73, 8.18", "bearing_deg": ""}


@pytest.fixture
def site(client):
    lead = builders.lead(builders.cohort())
    client.force_login(lead)
    return builders.site(school=lead.school)


def sent(client, site, **fields):
    return client.post(reverse("mark-add", args=[site.pk]), SPIRE | fields, follow=True)


def test_a_mark_is_added_and_removed_after_asking(client, site):
    content = sent(client, site).content.decode()
    assert "203.4° true, ±0.5°" in content
    assert "bearing measured" in content
    address = reverse("mark-remove", args=[ReferenceMark.objects.get().pk])
    client.get(address)
    assert ReferenceMark.objects.exists()
    client.post(address)
    assert not ReferenceMark.objects.exists()


def test_a_mark_with_coordinates_gets_bearing_distance_and_uncertainty(client, site):
    content = sent(client, site, **NORTHWARD).content.decode()
    mark = ReferenceMark.objects.get()
    assert mark.bearing_deg == pytest.approx(0.0, abs=1e-6)
    assert mark.bearing_u_deg == 0.36  # 5 m at both ends over 1112 m
    assert "1112 m away, by its coordinates" in content


def test_an_uncertainty_that_is_written_is_kept(client, site):
    sent(client, site, **NORTHWARD, bearing_u_deg="1.2")
    assert ReferenceMark.objects.get().bearing_u_deg == 1.2


@pytest.mark.parametrize(
    ("fields", "at", "sentence"),
    [
        ({"bearing_deg": ""}, "__all__", "coordinates, or its true bearing"),
        ({"position": "46.73 8.18"}, "__all__", "not both"),
        ({"position": "somewhere"}, "position", "is not N, S, E or W"),
        ({"bearing_deg": "361"}, "bearing_deg", "Between 0 and 360 degrees"),
        ({"bearing_u_deg": "5.1"}, "bearing_u_deg", "Between 0.01 and 5 degrees"),
        ({"bearing_u_deg": "0"}, "bearing_u_deg", "Between 0.01 and 5 degrees"),
        ({"position": "46.7204 8.18", "bearing_deg": ""}, "position", "Only 44 m from the site"),
        ({"position": "50 8.18", "bearing_deg": ""}, "position", "365 km from the site"),
    ],
)
def test_a_bad_mark_is_refused_with_a_sentence(client, site, fields, at, sentence):
    errors = sent(client, site, **fields).context["form"].errors
    assert list(errors) == [at]
    assert sentence in errors[at][0]
    assert not ReferenceMark.objects.exists()


def test_two_marks_of_a_site_may_not_share_a_name(client, site):
    builders.mark(site=site, name="Spire")
    content = sent(client, site, name="spire").content.decode()
    assert "already has a mark of this name" in content


def test_a_mark_is_changed_from_a_bearing_to_coordinates_and_back(client, site):
    mark = builders.mark(site=site, bearing_deg=90.0)
    address = reverse("mark-edit", args=[mark.pk])
    client.post(address, SPIRE | NORTHWARD)
    mark.refresh_from_db()
    assert mark.position == (46.73, 8.18)
    assert client.get(address).context["form"]["bearing_deg"].value() is None
    client.post(address, SPIRE)
    mark.refresh_from_db()
    assert (mark.position, mark.bearing_deg) == (None, 203.4)
