"""The sun at a site, as pages show it."""

from datetime import UTC, date, datetime

from coursework.models import Site
from coursework.sun import sun_at, sun_of_day

PLACE = {"latitude_deg": 46.51, "longitude_deg": 7.47, "elevation_m": 1480.0}
NOVEMBER = datetime(2026, 11, 25, 10, 30, tzinfo=UTC)


def site(**fields) -> Site:
    return Site(**{"zone": "Europe/Zurich"} | PLACE | fields)


def test_the_sun_of_a_day_rises_and_sets_in_the_zone_of_the_site():
    day = sun_of_day(site(), date(2026, 6, 21))
    assert day.state == "rises and sets"
    assert day.rises[0] < day.noon < day.sets[0]
    assert day.noon.tzinfo.key == "Europe/Zurich"


def test_a_high_skyline_hides_a_sun_that_is_above_the_flat_horizon():
    then = sun_at(site(horizon="0:30"), NOVEMBER)
    assert not then.is_up
    assert then.is_behind_skyline
    assert then.skyline_deg == 30.0


def test_the_same_sun_is_up_over_an_open_horizon():
    then = sun_at(site(), NOVEMBER)
    assert then.is_up
    assert not then.is_behind_skyline


def test_a_sun_below_the_flat_horizon_is_down_and_not_behind_anything():
    then = sun_at(site(), datetime(2026, 11, 25, 0, 0, tzinfo=UTC))
    assert not then.is_up
    assert not then.is_behind_skyline


def test_a_date_that_the_zone_left_out_has_no_sun():
    # Samoa went from 29 to 31 December 2011 (the date line moved).
    samoa = site(latitude_deg=-13.8, longitude_deg=-171.8, zone="Pacific/Apia")
    assert sun_of_day(samoa, date(2011, 12, 30)) is None
