"""What the field promises beside its values (published ones: tests/reference)."""

import numpy as np
import pytest

from solar.declination import decimal_year, declination, first_and_last_year

BERN = {"latitude_deg": 46.5, "longitude_deg": 8.0}


@pytest.mark.parametrize(
    ("time", "model", "has_error"),
    [
        ("2009-12-31T23:59:59", "", False),
        ("2010-01-01", "WMM-2010", False),
        ("2014-12-31T23:59:59", "WMM-2010", False),
        ("2015-01-01", "WMM-2015v2", True),
        ("2020-01-01", "WMM-2020", True),
        ("2025-01-01", "WMM-2025", True),
        ("2029-12-31T23:59:59", "WMM-2025", True),
        ("2030-01-01", "", False),
    ],
)
def test_each_date_has_the_model_whose_five_years_hold_it(time, model, has_error):
    field = declination(np.datetime64(time), **BERN)
    assert str(field.model) == model
    assert bool(np.isfinite(field.uncertainty_deg)) is has_error
    assert bool(np.isfinite(field.declination_deg)) is bool(model)


def test_the_models_reach_from_2010_to_the_end_of_2029():
    assert first_and_last_year() == (2010.0, 2030.0)


def test_places_and_dates_are_computed_each_for_itself():
    times = np.array(["2016-05-10", "2026-05-10", "2040-05-10"], dtype="datetime64[us]")
    latitude, longitude = np.array([46.5, -33.0, 10.0]), np.array([8.0, 151.0, 20.0])
    together = declination(times, latitude_deg=latitude, longitude_deg=longitude)
    for row in range(3):
        alone = declination(times[row], latitude_deg=latitude[row], longitude_deg=longitude[row])
        assert np.allclose(
            alone.declination_deg, together.declination_deg[row], atol=1e-12, equal_nan=True
        )


def test_the_date_line_has_one_declination():
    east, west = (
        declination(np.datetime64("2026-05-10"), latitude_deg=-17.0, longitude_deg=longitude)
        for longitude in (180.0, -180.0)
    )
    assert east.declination_deg == pytest.approx(west.declination_deg, abs=1e-9)


def test_the_uncertainty_grows_as_the_horizontal_field_weakens():
    far_north, home = (
        declination(np.datetime64("2026-05-10"), latitude_deg=latitude, longitude_deg=8.0)
        for latitude in (80.0, 46.5)
    )
    assert far_north.horizontal_nt < home.horizontal_nt
    assert far_north.uncertainty_deg > home.uncertainty_deg


@pytest.mark.parametrize(
    ("time", "year"),
    [("2026-01-01", 2026.0), ("2026-07-02T12:00", 2026.5), ("2024-07-02", 2024.5),
     ("1969-07-02T12:00", 1969.5)],
)  # fmt: skip
def test_decimal_years_count_the_days_of_their_own_year(time, year):
    assert decimal_year(np.datetime64(time)) == pytest.approx(year, abs=1e-9)
