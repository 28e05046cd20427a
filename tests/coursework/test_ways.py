"""The way from site to site at a school's speed."""

import pytest

from coursework.models import Site
from coursework.ways import LONGEST_MIN, way_m, way_min

# A minute of the meridian at 45 degrees is 1,852 m: the nautical mile as it was first defined
# (handbook value, from memory).
HERE = Site(pk=1, latitude_deg=45.0, longitude_deg=7.0)
MILE_AWAY = Site(pk=2, latitude_deg=45.0 + 1.0 / 60.0, longitude_deg=7.0)


def test_a_minute_of_latitude_is_a_nautical_mile_both_ways():
    assert way_m(HERE, MILE_AWAY) == pytest.approx(1852.0, abs=1.0)
    assert way_m(MILE_AWAY, HERE) == way_m(HERE, MILE_AWAY)


def test_at_a_mile_an_hour_it_takes_an_hour_and_at_twice_that_half_of_it():
    assert way_min(HERE, MILE_AWAY, speed_kmh=1.852) == 60
    assert way_min(HERE, MILE_AWAY, speed_kmh=3.704) == 30


def test_part_of_a_minute_counts_as_one():
    assert way_min(HERE, MILE_AWAY, speed_kmh=4.0) == 28  # 27.8


def test_a_site_is_no_way_from_itself_and_the_other_end_of_the_world_a_day():
    assert way_min(HERE, HERE, speed_kmh=4.0) == 0
    far = Site(pk=3, latitude_deg=-45.0, longitude_deg=-173.0)
    assert way_min(HERE, far, speed_kmh=4.0) == LONGEST_MIN
