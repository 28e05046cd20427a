"""Faults of stick and ground against another geometry, on pvlib's sun (NREL SPA).

The other way round: the tip is found by solving the ray with the ground as linear equations, the
later equal shadow and the shortest one by SciPy's root finder, and the twin stick by
the law of sines.
"""

import math
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from scipy import optimize

from solar import mistakes
from solar.mistakes import Place, Stick
from tests.reference import second_opinion
from tests.reference.second_opinion import bearing_of, unit, wrap

pytestmark = pytest.mark.reference

SPOTS = [
    Place(latitude_deg=45.2136, longitude_deg=6.5472, elevation_m=1240.0),
    Place(latitude_deg=-45.0318, longitude_deg=-10.0, slope_deg=5.0, downhill_deg=20.0),
    Place(latitude_deg=62.0, longitude_deg=25.0, slope_deg=8.0, downhill_deg=230.0),
]
STICKS = [
    Stick(),
    Stick(length_m=1.1),
    Stick(lean_deg=5.0, lean_towards_deg=70.0),
    Stick(length_m=0.8, lean_deg=12.0, lean_towards_deg=305.0),
]
DAYS = [datetime(2026, 4, 2, tzinfo=UTC), datetime(2026, 8, 20, tzinfo=UTC)]


def tip(second, place, stick):
    """Foot to tip in three dimensions: top + s * ray = a * along + b * across, the ground."""
    where = second_opinion.Place(place.latitude_deg, place.longitude_deg, place.elevation_m)
    azimuth, _true, apparent = (float(one[0]) for one in where.sky(second))
    ray = -np.array([*unit(azimuth) * math.cos(math.radians(apparent)),
                     math.sin(math.radians(apparent))])  # fmt: skip
    lean = math.radians(stick.lean_deg)
    top = stick.length_m * np.array([*unit(stick.lean_towards_deg) * math.sin(lean),
                                     math.cos(lean)])  # fmt: skip
    slope = math.radians(place.slope_deg)
    down = np.array([*unit(place.downhill_deg) * math.cos(slope), -math.sin(slope)])
    across = np.array([*unit(place.downhill_deg + 90.0), 0.0])
    a, b, _s = np.linalg.solve(np.column_stack([down, across, -ray]), top)
    return a * down + b * across


def instant(second):
    return datetime.fromtimestamp(second, UTC)


def north_of(first, second):
    return bearing_of((second - first)[:2]) - 90.0


def cases():
    return [(place, stick, day + timedelta(hours=12) - timedelta(hours=place.longitude_deg / 15.0))
            for place in SPOTS for stick in STICKS for day in DAYS]  # fmt: skip


@pytest.mark.parametrize(("place", "stick", "noon"), cases())
def test_tips_lie_where_the_ray_meets_the_ground(place, stick, noon):
    for hours in (-2.5, 0.3, 2.0):
        moment = noon + timedelta(hours=hours)
        (east_north,) = mistakes.tips([moment], place=place, stick=stick)
        assert east_north == pytest.approx(tip(moment.timestamp(), place, stick)[:2], abs=2e-6)


@pytest.mark.parametrize(("place", "stick", "noon"), cases())
def test_equal_shadows_with_another_stick_in_the_afternoon(place, stick, noon):
    forenoon = (noon - timedelta(hours=2.2)).timestamp()
    first = tip(forenoon, place, Stick())
    wanted = np.linalg.norm(first)
    grows = optimize.brentq(
        lambda second: np.linalg.norm(tip(second, place, stick)) - wanted,
        noon.timestamp() + 1200.0, noon.timestamp() + 5.5 * 3600.0, xtol=1e-4,
    )  # fmt: skip
    line = mistakes.equal_shadow_line(instant(forenoon), place=place, later=stick)
    other = north_of(first, tip(grows, place, stick))
    assert wrap(line - other) == pytest.approx(0.0, abs=0.001)


@pytest.mark.parametrize(("place", "stick", "noon"), cases())
def test_the_shortest_shadow_of_a_leaning_stick(place, stick, noon):
    def still_shrinks(second):
        before, after = (tip(second + side, place, stick) for side in (-120.0, 120.0))
        return np.linalg.norm(before) - np.linalg.norm(after)

    around = noon.timestamp()
    shortest = optimize.brentq(still_shrinks, around - 9000.0, around + 9000.0, xtol=1e-3)
    line = mistakes.shortest_shadow_line(noon - timedelta(hours=4), place=place, stick=stick)
    other = bearing_of(tip(shortest, place, stick)[:2])
    assert wrap(line - other) == pytest.approx(0.0, abs=0.002)


def test_a_twin_a_tenth_longer_turns_the_line_by_the_law_of_sines():
    place = SPOTS[0]
    times = [datetime(2026, 6, 20, 7, 0, tzinfo=UTC), datetime(2026, 6, 20, 18, 0, tzinfo=UTC)]
    shadows = [bearing_of(tip(one.timestamp(), place, Stick())[:2]) for one in times]
    between = abs(wrap(shadows[1] - shadows[0]))
    # Triangle of the two lengths: the angle at the end of the shorter one, equal and unequal.
    third = math.sqrt(1.0 + 1.21 - 2.2 * math.cos(math.radians(between)))
    at_end = math.degrees(math.asin(1.1 * math.sin(math.radians(between)) / third))
    turned = abs(at_end - (180.0 - between) / 2.0)
    plain = mistakes.first_last_line(times, place=place)
    longer = mistakes.first_last_line(times, place=place, lengths_m=(1.0, 1.1))
    assert abs(wrap(longer - plain)) == pytest.approx(turned, abs=0.001)
