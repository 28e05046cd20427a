"""True, grid and magnetic north at a site, of a day."""

import pytest
from django.urls import reverse

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def site(client):
    lead = builders.lead(builders.cohort())
    client.force_login(lead)
    return builders.site(school=lead.school)


def shown(client, site, **asked) -> str:
    return client.get(reverse("site-norths", args=[site.pk]), asked).content.decode()


def test_the_day_asked_for_is_shown_with_its_model(client, site):
    content = shown(client, site, on="2026-06-01")
    assert "As of 1 June 2026, WMM-2025" in content
    assert "Magnetic to grid: add" in content


def test_a_day_after_the_models_says_so_and_keeps_the_grid(client, site):
    content = shown(client, site, on="2030-01-01")
    assert "end on 31 December 2029" in content
    assert "Grid convergence" in content
    assert "Magnetic to" not in content


@pytest.mark.parametrize(
    ("day", "sentence"),
    [("soon", "That is not a date."), ("1989-12-31", "Between 1990 and 2050.")],
)
def test_a_day_that_is_none_is_refused_and_today_shown(client, site, day, sentence):
    content = shown(client, site, on=day)
    assert sentence in content
    assert 'id="norths-title"' in content


def test_a_place_by_the_magnetic_pole_warns_and_converts_nothing(client, site):
    site.latitude_deg, site.longitude_deg = 83.9, 139.0
    site.save()
    content = shown(client, site, on="2026-06-01")
    assert "A compass is unusable here" in content
    assert "From one north to another" not in content
