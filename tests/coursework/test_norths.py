"""The three norths of a place on a date."""

from datetime import date

import pytest

from coursework.norths import norths_at, norths_of
from tests import builders

ALPS = {"latitude_deg": 46.72, "longitude_deg": 8.18, "elevation_m": 1050.0}
IN_2026 = date(2026, 11, 25)


def test_the_grid_magnetic_angle_is_the_declination_less_the_convergence():
    norths = norths_at(**ALPS, as_of=IN_2026)
    assert norths.grid_magnetic_deg == pytest.approx(
        norths.declination_deg - norths.convergence_deg
    )
    assert norths.convergence_deg < 0.0 < norths.declination_deg


def test_beyond_the_grid_there_is_no_grid_north():
    norths = norths_at(latitude_deg=84.1, longitude_deg=10.0, elevation_m=0.0, as_of=IN_2026)
    assert (norths.convergence_deg, norths.zone, norths.grid_magnetic_deg) == (None, None, None)
    assert norths.declination_deg is not None


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "unusable", "caution"),
    [(85.8, 139.0, True, False), (75.0, -95.0, False, True), (46.72, 8.18, False, False)],
)
def test_zones_of_caution(latitude_deg, longitude_deg, unusable, caution):
    norths = norths_at(
        latitude_deg=latitude_deg, longitude_deg=longitude_deg, elevation_m=0.0, as_of=IN_2026
    )
    assert (norths.is_unusable, norths.needs_caution) == (unusable, caution)


@pytest.mark.parametrize(
    ("day", "soon", "past"),
    [
        (date(2029, 7, 4), False, False),
        (date(2029, 7, 5), True, False),
        (date(2029, 12, 31), True, False),
        (date(2030, 1, 1), False, True),
    ],
)
def test_the_end_of_the_models_is_announced_and_then_said(day, soon, past):
    norths = norths_at(**ALPS, as_of=day)
    assert (norths.ends_soon, norths.is_past_models) == (soon, past)
    assert (norths.declination_deg is None) == past


def test_before_every_model_there_is_no_declination_and_none_has_ended():
    norths = norths_at(**ALPS, as_of=date(2009, 12, 31))
    assert norths.declination_deg is None
    assert not norths.is_past_models and not norths.ends_soon


@pytest.mark.django_db
def test_a_site_gives_its_own_place():
    site = builders.site(**ALPS)
    assert norths_of(site, IN_2026) == norths_at(**ALPS, as_of=IN_2026)
