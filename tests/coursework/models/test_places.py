"""What a site may be."""

import pytest
from django.core.exceptions import ValidationError

from tests import builders

pytestmark = pytest.mark.django_db


def wrong_fields(**fields) -> set[str]:
    site = builders.site()
    for name, value in fields.items():
        setattr(site, name, value)
    try:
        site.full_clean()
    except ValidationError as error:
        return set(error.message_dict)
    return set()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("latitude_deg", 89.1),
        ("latitude_deg", -89.1),
        ("longitude_deg", 180.1),
        ("elevation_m", 9000.1),
        ("elevation_m", -500.1),
        ("zone", "Europe/Nowhere"),
        ("zone", "../etc/passwd"),
        ("horizon", "90"),
        ("horizon", "90:61"),
        ("horizon", "90:4 90:5"),
        ("slope_deg", 45.1),
        ("downhill_deg", 360.1),
    ],
)
def test_what_is_out_of_range_is_said_at_its_field(field, value):
    assert wrong_fields(**{field: value}) == {field}


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("latitude_deg", 89.0),
        ("longitude_deg", -180.0),
        ("horizon", "0:14 90:4.5"),
        ("zone", "UTC"),
    ],
)
def test_the_limits_themselves_are_taken(field, value):
    assert wrong_fields(**{field: value}) == set()
