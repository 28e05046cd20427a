"""Distances, legs and positions: signs, sides, shapes and what has no number."""

import numpy as np
import pytest

from solar import travel

START = {"start_latitude_deg": 45.0, "start_longitude_deg": 7.0}
NORTH = {"goal_latitude_deg": 45.01, "goal_longitude_deg": 7.0}


def leg(latitude=45.01, longitude=7.0, **more):
    arrival = {"arrival_latitude_deg": latitude, "arrival_longitude_deg": longitude}
    return travel.leg_error(**START | NORTH | arrival | more)


def distance(told_m, measured_m=400.0, **more):
    return travel.distance_error(told_m=told_m, measured_m=measured_m, **more)


def test_paces_stand_for_a_distance_by_the_walkers_own_count():
    assert travel.paced_m(130.0, paces_per_100_m=65.0) == pytest.approx(200.0)


@pytest.mark.parametrize(("told", "percent"), [(420.0, 5.0), (380.0, -5.0), (400.0, 0.0)])
def test_too_much_is_positive(told, percent):
    assert distance(told).error_percent == pytest.approx(percent)


def test_the_usual_uncertainty_is_one_percent_twice():
    assert distance(400.0).expanded_u_percent == pytest.approx(2.0)


def test_metres_come_before_percent():
    found = distance(400.0, measured_u_m=2.0, measured_u_percent=5.0)
    assert found.expanded_u_percent == pytest.approx(1.0)


def test_distances_come_in_arrays():
    found = distance(np.array([390.0, 410.0]), measured_u_m=np.array([np.nan, 4.0]))
    assert found.error_percent == pytest.approx([-2.5, 2.5])
    assert found.expanded_u_percent == pytest.approx([1.95, 2.05])


def test_an_arrival_at_the_goal_is_off_by_nothing():
    found = leg()
    assert found.offset_m == pytest.approx(0.0, abs=1e-6)
    assert found.bearing_error_deg == pytest.approx(0.0, abs=1e-9)


def test_east_of_a_northward_leg_is_to_the_right():
    found = leg(longitude=7.0005)
    assert found.across_m == pytest.approx(39.4, abs=0.1)
    assert found.bearing_error_deg > 0.0


def test_short_of_the_goal_is_negative():
    assert leg(latitude=45.0099).along_m == pytest.approx(-11.1, abs=0.1)
    assert leg(latitude=45.0101).along_m == pytest.approx(11.1, abs=0.1)


def test_the_offset_is_made_of_its_two_parts():
    found = leg(latitude=45.0098, longitude=7.0004)
    assert np.hypot(found.along_m, found.across_m) == pytest.approx(found.offset_m)


def test_a_leg_over_the_date_line_is_short():
    found = travel.leg_error(
        start_latitude_deg=-17.0,
        start_longitude_deg=179.999,
        goal_latitude_deg=-17.0,
        goal_longitude_deg=-179.999,
        arrival_latitude_deg=-17.0001,
        arrival_longitude_deg=-179.999,
    )
    assert found.leg_m == pytest.approx(213.0, abs=1.0)
    assert found.across_m > 0.0


def test_walking_the_wrong_way_is_an_error_of_half_a_circle():
    assert leg(latitude=44.99).bearing_error_deg == pytest.approx(180.0)


def test_a_leg_of_a_few_metres_has_no_bearing():
    found = leg(goal_latitude_deg=45.00005)
    assert np.isnan(found.leg_bearing_deg)
    assert np.isnan(found.bearing_error_deg)


def test_who_stays_at_the_start_walked_no_bearing():
    found = leg(latitude=45.0)
    assert np.isnan(found.walked_bearing_deg)
    assert found.offset_m == pytest.approx(1111.0, abs=2.0)


def test_the_start_counts_twice_only_where_the_lines_differ():
    # Both lines run along each other: a start set sideways turns both alike.
    found = leg(point_u_m=10.0, arrival_u_m=0.0)
    only_goal = 2.0 * np.degrees(10.0 / found.leg_m)
    assert found.expanded_u_bearing_deg == pytest.approx(only_goal, rel=1e-6)


def test_legs_come_in_arrays():
    found = leg(longitude=np.array([6.999, 7.001]))
    assert found.across_m.shape == (2,)
    assert found.expanded_u_offset_m.shape == (2,)
    assert found.across_m[0] == pytest.approx(-found.across_m[1])


def position(latitude, longitude, **more):
    return travel.position_error(
        true_latitude_deg=45.0,
        true_longitude_deg=7.0,
        plotted_latitude_deg=latitude,
        plotted_longitude_deg=longitude,
        **more,
    )


@pytest.mark.parametrize(
    ("latitude", "longitude", "bearing"),
    [(45.001, 7.0, 0.0), (45.0, 7.001, 90.0), (44.999, 7.0, 180.0), (45.0, 6.999, 270.0)],
)
def test_the_direction_is_from_the_true_point_to_the_plotted_one(latitude, longitude, bearing):
    assert position(latitude, longitude).bearing_deg == pytest.approx(bearing, abs=0.001)


def test_on_the_very_point_there_is_no_direction():
    found = position(45.0, 7.0)
    assert found.distance_m == 0.0
    assert np.isnan(found.bearing_deg)


def test_the_point_is_known_to_twice_its_uncertainty():
    assert position(45.001, 7.0, point_u_m=3.0).expanded_u_m == pytest.approx(6.0)
