"""Storing a site: its marks follow."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.models import Site
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead():
    return builders.lead(builders.cohort())


def test_marks_with_coordinates_turn_when_the_site_moves_and_measured_ones_stay(lead):
    site = builders.site(school=lead.school)
    plotted = builders.mark(
        site=site, bearing_deg=0.0, latitude_deg=46.73, longitude_deg=8.18, bearing_u_deg=0.4
    )
    measured = builders.mark(site=site, bearing_deg=123.4)
    site.latitude_deg = 46.74
    services.save_site(lead, site)
    plotted.refresh_from_db(), measured.refresh_from_db()
    assert plotted.bearing_deg == pytest.approx(180.0)
    assert measured.bearing_deg == 123.4


def test_a_site_is_not_put_where_a_mark_stands(lead):
    site = builders.site(school=lead.school)
    builders.mark(site=site, name="Cairn", latitude_deg=46.73, longitude_deg=8.18)
    site.latitude_deg = 46.73
    with pytest.raises(ValidationError, match="“Cairn” would stand where the site is"):
        services.save_site(lead, site)
    assert Site.objects.get(pk=site.pk).latitude_deg == 46.72


@pytest.mark.parametrize("role", ["assistant", "student"])
def test_only_those_who_arrange_the_school_store_sites(lead, role):
    site = builders.site(school=lead.school)
    other = getattr(builders, role)(lead.enrolments.get().cohort)
    with pytest.raises(PermissionDenied):
        services.save_site(other, site)


def test_nobody_stores_a_site_at_another_school(lead):
    theirs = builders.school()
    site = Site(
        school=theirs, name="Saddle", latitude_deg=1.0, longitude_deg=1.0, zone="Africa/Lagos"
    )
    with pytest.raises(PermissionDenied):
        services.save_site(lead, site)
    assert not Site.objects.filter(school=theirs).exists()
