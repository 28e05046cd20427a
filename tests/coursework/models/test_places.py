"""What a site may be."""

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from geographiclib.geodesic import Geodesic

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


def test_a_mark_with_coordinates_aims_by_the_geodesic():
    # Due north along a meridian; 0.01 degrees at 46.72 N are 1111.6 m (Bessel's meridian arc on
    # WGS 84, by geographiclib).
    site = builders.site(latitude_deg=46.72, longitude_deg=8.18)
    mark = builders.mark(site=site, bearing_deg=200.0, latitude_deg=46.73, longitude_deg=8.18)
    expected = Geodesic.WGS84.Inverse(46.72, 8.18, 46.73, 8.18)
    mark.aim()
    assert mark.bearing_deg == pytest.approx(0.0, abs=1e-9)
    assert mark.distance_m == pytest.approx(expected["s12"], abs=1e-6)


def test_a_measured_mark_keeps_its_bearing_and_has_no_distance():
    mark = builders.mark(bearing_deg=200.0)
    mark.aim()
    assert (mark.bearing_deg, mark.position, mark.distance_m) == (200.0, None, None)


def test_the_way_to_the_rally_point_crosses_the_date_line_by_the_short_side():
    site = builders.site(
        latitude_deg=-17.0, longitude_deg=179.99, rally_latitude_deg=-17.0,
        rally_longitude_deg=-179.99,
    )  # fmt: skip
    bearing_deg, distance_m = site.rally_way
    assert bearing_deg == pytest.approx(90.0, abs=0.01)
    assert distance_m == pytest.approx(2130.0, abs=1.0)


def test_a_site_without_a_rally_point_has_no_way_there():
    assert builders.site().rally_way is None


@pytest.mark.parametrize("field", ["rally_latitude_deg", "rally_longitude_deg"])
def test_half_a_position_is_refused_by_the_database(field):
    with pytest.raises(IntegrityError), transaction.atomic():
        builders.site(**{field: 10.0})


def test_steps_for_the_lost_are_one_a_line():
    site = builders.site(lost_steps="Stop.\n\n  Blow three times. \n")
    assert site.lost_step_list == ["Stop.", "Blow three times."]
