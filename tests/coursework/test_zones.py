"""The time zone of a place, offline."""

import pytest

from coursework.zones import zone_at
from solar.clock import is_zone


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone"),
    [
        # Common knowledge of the tz database; no table is quoted.
        (46.72, 8.18, "Europe/Zurich"),
        (-45.03, 169.29, "Pacific/Auckland"),
        (27.7, 85.3, "Asia/Kathmandu"),
        (78.22, 15.65, "Arctic/Longyearbyen"),
        (40.0, -30.0, "Etc/GMT+2"),  # at sea, by longitude
    ],
)
def test_a_place_has_its_zone(latitude_deg, longitude_deg, zone):
    assert zone_at(latitude_deg=latitude_deg, longitude_deg=longitude_deg) == zone


@pytest.mark.parametrize("latitude_deg", [-90.0, -60.0, 0.0, 60.0, 90.0])
@pytest.mark.parametrize("longitude_deg", [-180.0, -179.9, 0.0, 179.9, 180.0])
def test_every_zone_found_is_one_that_clocks_can_be_computed_for(latitude_deg, longitude_deg):
    assert is_zone(zone_at(latitude_deg=latitude_deg, longitude_deg=longitude_deg))
