"""Rise, noon and set against published rows."""

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from solar.daylight import day

pytestmark = pytest.mark.reference

GREENWICH = ZoneInfo("UTC")
MOUNTAIN = ZoneInfo("Etc/GMT+7")


def seconds_apart(instant, text):
    expected = datetime.fromisoformat(text).replace(tzinfo=UTC)
    return abs(instant - expected) / timedelta(seconds=1)


def test_rise_noon_and_set_of_nrel_table_a5_1():
    # Reda & Andreas, NREL/TP-560-34302, table A5.1; its set is that of the UT date, which in
    # Colorado is the evening before. The report interpolates over three days: a second or two.
    found = day(
        date(2003, 10, 17),
        latitude_deg=39.742476,
        longitude_deg=-105.1786,
        elevation_m=1830.14,
        zone=GREENWICH,
    )
    assert seconds_apart(found.rises[0], "2003-10-17T13:12:43.46") < 2
    assert seconds_apart(found.noon, "2003-10-17T18:46:04.97") < 2
    assert seconds_apart(found.sets[0], "2003-10-17T00:20:19.19") < 2


@pytest.mark.parametrize(
    ("day_of", "latitude_deg", "longitude_deg", "rise", "noon", "sunset", "seconds"),
    [
        ("2010-06-25", -36.840556, 174.74, "19:34:31", "00:23:33", "05:12:45", 2),
        # The sun climbs three degrees an hour here, and the program takes a single step of
        # interpolation: astropy's sun rises three seconds later too.
        ("2010-03-25", 78.22, 15.65, "04:13:07", "11:03:24", "17:58:05", 4),
    ],
)
def test_rise_noon_and_set_of_the_nrel_program(
    day_of, latitude_deg, longitude_deg, rise, noon, sunset, seconds
):
    # NREL's spa.c with Delta T 0, whole seconds.
    found = day(
        date.fromisoformat(day_of),
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        zone=GREENWICH,
    )
    assert seconds_apart(found.rises[0], f"{day_of}T{rise}") < seconds
    assert seconds_apart(found.noon, f"{day_of}T{noon}") < 2
    assert seconds_apart(found.sets[0], f"{day_of}T{sunset}") < seconds


@pytest.mark.parametrize(
    ("day_of", "state"), [("2010-06-25", "up all day"), ("2010-12-25", "down all day")]
)
def test_no_rise_nor_set_at_longyearbyen_in_june_and_december(day_of, state):
    # NREL's spa.c finds none on these dates.
    found = day(date.fromisoformat(day_of), latitude_deg=78.22, longitude_deg=15.65, zone=GREENWICH)
    assert (found.state, found.rises, found.sets) == (state, (), ())


@pytest.mark.parametrize(
    ("day_of", "rise", "sunset"),
    [
        ("2015-01-02", "07:19", "16:49"),
        ("2015-04-02", "05:43", "18:24"),
        ("2015-08-02", "05:01", "19:10"),
        ("2015-12-02", "07:01", "16:38"),
    ],
)
def test_whole_minutes_of_the_us_naval_observatory(day_of, rise, sunset):
    # US Naval Observatory, table of sunrise and sunset, 39 N 105 W, UTC-7.
    found = day(date.fromisoformat(day_of), latitude_deg=39.0, longitude_deg=-105.0, zone=MOUNTAIN)
    half_a_minute = timedelta(seconds=30)
    assert (found.rises[0] + half_a_minute).strftime("%H:%M") == rise
    assert (found.sets[0] + half_a_minute).strftime("%H:%M") == sunset
