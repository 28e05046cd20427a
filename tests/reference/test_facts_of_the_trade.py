"""What instructors say, held against the computation. Common practice, no source."""

import numpy as np
import pytest

from solar.ephemeris import declination_and_hour_angle
from tests.reference.scored_rows import (
    equinox,
    longitude_for,
    marks_around,
    scored,
    scored_one,
    solstice,
    texts_of,
)

pytestmark = pytest.mark.reference


def test_fifteen_to_twenty_minutes_between_marks_is_what_the_line_needs():
    # At 45 N near noon in June the tip moves so little that marks set to 5 mm make a line of
    # some six degrees after 15 minutes, and less than five after 20; after 5 it is worthless.
    time = solstice()
    _, longitude = longitude_for(time, 0.0)
    rows = scored(
        lat=45, lon=longitude, times=[marks_around(time, minutes) for minutes in (5, 15, 20)]
    )
    five, fifteen, twenty = rows["marking_scatter_deg"]
    assert five > 15.0
    assert fifteen == pytest.approx(6.0, abs=0.5)
    assert twenty < 5.0
    # Marks further apart hardly change what the method itself does.
    assert abs(rows["method_error_deg"][2] - rows["method_error_deg"][1]) < 0.1


def test_a_metre_stick_draws_about_65_millimetres_in_15_minutes_near_a_june_noon():
    time = solstice()
    _, longitude = longitude_for(time, 0.0)
    row = scored_one(lat=45, lon=longitude, times=marks_around(time, 15), mark_u_mm=1)
    chord_mm = np.sqrt(2.0) / np.radians(row["marking_scatter_deg"])
    assert chord_mm == pytest.approx(65.0, abs=2.0)


def test_the_sun_moves_fifteen_degrees_an_hour_on_its_own_circle():
    times = np.arange("2025-01-01", "2026-01-01", np.timedelta64(1, "h"), dtype="datetime64[h]")
    _, hour_angle = declination_and_hour_angle(times, longitude_deg=0.0)
    turns = np.mod(np.diff(hour_angle), 360.0)
    assert np.abs(turns - 15.0).max() < 0.006


def test_the_suns_bearing_does_not_move_fifteen_degrees_an_hour():
    # The reason why the watch and the hands go wrong: in June at 40 N some 10 in the early
    # forenoon, more than 40 around noon.
    time = solstice()
    turns = []
    for hour_angle in (-75.0, 0.0):
        _, longitude = longitude_for(time, hour_angle)
        half_hour = np.timedelta64(30, "m")
        ends = scored(
            method="shortest-shadow",
            lon=longitude,
            times=texts_of([time - half_hour, time + half_hour]),
        )["sun_azimuth_deg"]
        turns.append(float(ends[1] - ends[0]))
    assert turns[0] < 11.0
    assert turns[1] > 40.0


def test_one_hand_is_one_hour_where_the_sun_climbs_straight_up():
    # A hand of fifteen degrees, at the equator near an equinox: from hour to hour the perfect
    # count grows by one.
    time = equinox()
    _, longitudes = longitude_for(time, [-75.0, -60.0, -45.0, -30.0])
    rows = scored(
        method="hands",
        lat=1,
        lon=[float(longitude) for longitude in longitudes],
        times=texts_of([time])[0],
        hands=6,
    )
    perfect = 6.0 + rows["counting_error_deg"] / 15.0
    assert np.abs(np.diff(perfect) - 1.0).max() < 0.02


def test_equal_lengths_along_the_first_and_last_shadow_point_east():
    # The classic of the trade: at 50 N it is right to half a degree on any day of the year, and
    # exactly right at a solstice, when the declination stands still.
    row = scored_one(
        method="first-last", lat=50, lon=10, zone="Europe/Berlin", date="2025-06-21", order="day"
    )
    assert abs(row["method_error_deg"]) < 0.02


def error_at_three_hands(latitude_deg, time):
    """Method error at the forenoon moment at which a flawless count is three hands of 15."""
    _, longitudes = longitude_for(time, np.arange(-90.0, 0.0, 0.25))
    rows = scored(
        method="hands",
        lat=latitude_deg,
        lon=[float(longitude) for longitude in longitudes],
        times=texts_of([time])[0],
        hands=3,
    )
    counting = np.abs(rows["counting_error_deg"])
    at = int(np.nanargmin(counting))
    assert counting[at] < 3.0
    return float(rows["method_error_deg"][at])


def test_three_hands_in_the_forenoon_come_within_two_degrees_of_north_near_an_equinox():
    # The sun stands 45 degrees up and is taken to bear 135. It truly does where
    # tan(lat) = cos 45 / tan 45: at 35.3 N, some two degrees of latitude either way.
    assert abs(error_at_three_hands(35.3, equinox())) < 2.0
    assert abs(error_at_three_hands(34.0, equinox())) < 2.5
    assert abs(error_at_three_hands(45.0, equinox())) > 5.0


def test_at_the_same_latitude_in_june_three_hands_cannot():
    # 45 degrees up in June the sun still stands nearly east: the line is more than 40 off.
    assert abs(error_at_three_hands(35.3, solstice())) > 40.0


def test_measuring_the_hand_mends_the_count_and_not_the_rule():
    # A hand of ten degrees with the usual fifteen a hand: counting right, laying wrong.
    time = equinox()
    _, longitude = longitude_for(time, -45.0)
    common = {"method": "hands", "lat": 35.3, "lon": longitude, "times": texts_of([time])[0]}
    both = scored_one(**common, hands=3, degrees_per_hand=10, rule_deg_per_hand=10)
    only = scored_one(**common, hands=3, degrees_per_hand=10)
    usual = scored_one(**common, hands=3)
    assert both["method_error_deg"] == pytest.approx(usual["method_error_deg"], abs=1e-6)
    assert abs(only["method_error_deg"]) > abs(usual["method_error_deg"]) + 10.0


def test_a_degree_is_seventeen_and_a_half_metres_a_kilometre():
    # d sin(e); the pilot's one in sixty makes it 16.7.
    from solar.decision import sideways_miss_m

    assert sideways_miss_m(1.0, distance_m=1000.0) == pytest.approx(17.45, abs=0.01)
    assert sideways_miss_m(-1.0, distance_m=1000.0) == pytest.approx(-1000 / 60, abs=0.8)
