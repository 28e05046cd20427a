"""Legs, positions and distances against GeographicLib and published geodesics."""

import math

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from solar import travel

pytestmark = pytest.mark.reference

WGS84 = Geodesic.WGS84


def leg(start, goal, arrival, **more):
    names = ("start", "goal", "arrival")
    ends = zip(names, (start, goal, arrival), strict=True)
    coordinates = {}
    for name, (latitude, longitude) in ends:
        coordinates |= {f"{name}_latitude_deg": latitude, f"{name}_longitude_deg": longitude}
    return travel.leg_error(**coordinates, **more)


def random_legs(seed, count=200, longest_m=20_000.0):
    """Start, goal and arrival by GeographicLib: bearing and length of the leg and of the miss."""
    generator = np.random.default_rng(seed)
    for _ in range(count):
        start = generator.uniform(-85.0, 85.0), generator.uniform(-180.0, 180.0)
        bearing, length = generator.uniform(0.0, 360.0), generator.uniform(50.0, longest_m)
        to_goal = WGS84.Direct(*start, bearing, length)
        goal = to_goal["lat2"], to_goal["lon2"]
        turn, miss = generator.uniform(-180.0, 180.0), generator.uniform(0.5, 0.2 * length)
        to_arrival = WGS84.Direct(*goal, to_goal["azi2"] + turn, miss)
        arrival = to_arrival["lat2"], to_arrival["lon2"]
        yield start, goal, arrival, bearing, length, turn, miss


def test_legs_agree_with_geographiclib_at_random_places():
    # geographiclib 2, Karney's own implementation of his algorithms.
    for start, goal, arrival, bearing, length, turn, miss in random_legs(1):
        found = leg(start, goal, arrival)
        walked = WGS84.Inverse(*start, *arrival)
        assert found.leg_m == pytest.approx(length, abs=1e-6)
        assert math.sin(math.radians(found.leg_bearing_deg - bearing)) == pytest.approx(0, abs=1e-9)
        assert found.walked_m == pytest.approx(walked["s12"], abs=1e-6)
        assert found.offset_m == pytest.approx(miss, abs=1e-6)
        assert found.along_m == pytest.approx(miss * math.cos(math.radians(turn)), abs=1e-5)
        assert found.across_m == pytest.approx(miss * math.sin(math.radians(turn)), abs=1e-5)
        error = (walked["azi1"] - bearing + 180.0) % 360.0 - 180.0
        assert found.bearing_error_deg == pytest.approx(error, abs=1e-8)


def test_positions_agree_with_geographiclib_at_random_places():
    for start, goal, _arrival, bearing, length, _turn, _miss in random_legs(2):
        found = travel.position_error(
            true_latitude_deg=start[0],
            true_longitude_deg=start[1],
            plotted_latitude_deg=goal[0],
            plotted_longitude_deg=goal[1],
        )
        assert found.distance_m == pytest.approx(length, abs=1e-6)
        assert math.cos(math.radians(found.bearing_deg - bearing)) == pytest.approx(1.0)


def test_a_published_geodesic_on_wgs84():
    # C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013), the example of the direct
    # problem (table 2): from 40 N, azimuth 30 degrees, 10 000 km on WGS 84 to 41.79331020506 N,
    # 137.84490004377 E of the start. From memory.
    found = travel.position_error(
        true_latitude_deg=40.0,
        true_longitude_deg=0.0,
        plotted_latitude_deg=41.79331020506,
        plotted_longitude_deg=137.84490004377,
    )
    assert found.distance_m == pytest.approx(10_000_000.0, abs=0.001)
    assert found.bearing_deg == pytest.approx(30.0, abs=1e-9)


def test_the_baseline_from_flinders_peak_to_buninyong():
    # Geoscience Australia, Geocentric Datum of Australia technical manual, worked example of
    # Vincenty's formulae: 54 972.271 m, azimuth 306 52 05.37 (from memory). It is on GRS 80, whose
    # flattening differs from that of WGS 84 in the ninth digit: no matter at this length.
    def sexagesimal(degrees, minutes, seconds):
        return math.copysign(abs(degrees) + minutes / 60.0 + seconds / 3600.0, degrees)

    found = travel.position_error(
        true_latitude_deg=sexagesimal(-37, 57, 3.72030),
        true_longitude_deg=sexagesimal(144, 25, 29.52440),
        plotted_latitude_deg=sexagesimal(-37, 39, 10.15610),
        plotted_longitude_deg=sexagesimal(143, 55, 35.38390),
    )
    assert found.distance_m == pytest.approx(54_972.271, abs=0.001)
    assert found.bearing_deg == pytest.approx(sexagesimal(306, 52, 5.37), abs=0.01 / 3600.0)


def test_uncertainties_of_a_leg_are_the_scatter_of_many_measurements():
    # JCGM 101:2008: a thousand draws of each point stand for the law of propagation.
    generator = np.random.default_rng(5)
    start, goal, arrival = (45.2, 6.5), (45.2040, 6.5060), (45.2037, 6.5066)
    point_u_m, arrival_u_m = 3.0, 6.0

    def drawn(place, u_m):
        north, east = generator.normal(0.0, u_m, (2, 20_000))
        scale = 111_132.0  # metres a degree of latitude, near enough for a scatter
        return (
            place[0] + north / scale,
            place[1] + east / (scale * math.cos(math.radians(place[0]))),
        )

    many = leg(drawn(start, point_u_m), drawn(goal, point_u_m), drawn(arrival, arrival_u_m))
    once = leg(start, goal, arrival, point_u_m=point_u_m, arrival_u_m=arrival_u_m)
    scatter = np.std(many.bearing_error_deg)
    assert once.expanded_u_bearing_deg == pytest.approx(2.0 * scatter, rel=0.03)
    along, across = np.std(many.along_m), np.std(many.across_m)
    assert once.expanded_u_offset_m == pytest.approx(2.0 * along, rel=0.06)
    assert once.expanded_u_offset_m == pytest.approx(2.0 * across, rel=0.06)


def test_the_uncertainty_of_a_distance_is_the_scatter_of_many_measurements():
    generator = np.random.default_rng(6)
    measured = generator.normal(400.0, 8.0, 20_000)
    many = travel.distance_error(told_m=430.0, measured_m=measured)
    once = travel.distance_error(told_m=430.0, measured_m=400.0, measured_u_m=8.0)
    assert once.expanded_u_percent == pytest.approx(2.0 * np.std(many.error_percent), rel=0.03)
