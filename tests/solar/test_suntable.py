from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from solar.clock import ClockError
from solar.daylight import day
from solar.ephemeris import sun_position
from solar.horizon import TerrainHorizon
from solar.suntable import sun_table

ZURICH = ZoneInfo("Europe/Zurich")
PLACE = {"latitude_deg": 46.5, "longitude_deg": 8.0, "zone": ZURICH}
MAY = date(2026, 5, 10)


def at(rows, hour, minute=0):
    return next(row for row in rows if (row.time.hour, row.time.minute) == (hour, minute))


def test_rows_run_from_local_midnight_to_the_last_before_the_next():
    rows = sun_table(MAY, **PLACE)
    assert len(rows) == 48
    assert rows[0].time == datetime(2026, 5, 10, tzinfo=ZURICH)
    assert rows[-1].time == datetime(2026, 5, 10, 23, 30, tzinfo=ZURICH)


@pytest.mark.parametrize(
    ("of", "every", "count"),
    [(MAY, 1, 1440), (MAY, 1440, 1), (MAY, 7, 206), (date(2026, 3, 29), 30, 46),
     (date(2026, 10, 25), 30, 50)],
)  # fmt: skip
def test_a_day_has_as_many_rows_as_its_clocks_make_it(of, every, count):
    assert len(sun_table(of, **PLACE, every_min=every)) == count


def test_the_hour_that_is_left_out_is_left_out():
    hours = [row.time.hour for row in sun_table(date(2026, 3, 29), **PLACE, every_min=60)]
    assert hours[:4] == [0, 1, 3, 4]


def test_bearing_and_length_are_those_of_the_shadow_of_a_stick():
    row = at(sun_table(MAY, **PLACE), 10)
    azimuth, elevation = sun_position(row.time, latitude_deg=46.5, longitude_deg=8.0)
    assert row.azimuth_deg == pytest.approx(float(azimuth), abs=0.0005)
    assert row.elevation_deg == pytest.approx(float(elevation))
    assert row.shadow_bearing_deg == pytest.approx((row.azimuth_deg + 180.0) % 360.0)
    assert row.shadow_length == pytest.approx(1.0 / np.tan(np.radians(elevation)))


def test_a_sun_that_is_down_has_no_shadow_and_still_a_place():
    row = at(sun_table(MAY, **PLACE), 3)
    assert row.elevation_deg < 0.0
    assert np.isnan(row.shadow_bearing_deg) and np.isnan(row.shadow_length)


def test_a_sun_behind_the_skyline_has_no_shadow_either():
    row = at(sun_table(MAY, **PLACE, horizon=TerrainHorizon.parse("0:60")), 10)
    assert row.elevation_deg > 30.0
    assert np.isnan(row.shadow_length)


def test_shadows_begin_at_the_rise_and_end_at_the_set():
    skyline = TerrainHorizon.parse("0:8 90:12 180:4")
    sun = day(MAY, **PLACE, horizon=skyline)
    lit = [row.time for row in sun_table(MAY, **PLACE, horizon=skyline, every_min=1)
           if row.shadow_length > 0.0]  # fmt: skip
    minute = timedelta(minutes=1)
    assert timedelta(0) <= lit[0] - sun.rises[0] < minute
    assert timedelta(0) <= sun.sets[0] - lit[-1] < minute


def test_under_the_midnight_sun_every_row_has_a_shadow():
    rows = sun_table(date(2026, 6, 21), latitude_deg=75.0, longitude_deg=0.0, zone=ZoneInfo("UTC"))
    assert all(row.shadow_length > 0.0 for row in rows)


def test_a_skipped_date_has_no_table():
    with pytest.raises(ClockError, match="the calendar skips it"):
        sun_table(date(2011, 12, 30), latitude_deg=-13.8, longitude_deg=-171.8,
                  zone=ZoneInfo("Pacific/Apia"))  # fmt: skip
