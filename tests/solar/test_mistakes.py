"""What a fault of stick or ground does to a line."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from solar import mistakes, scoring
from solar.bearings import difference_deg
from solar.mistakes import NoShadowError, Place, Stick

MEADOW = Place(latitude_deg=45.2, longitude_deg=6.5, elevation_m=1240.0)
MORNING = datetime(2026, 6, 20, 7, 30, tzinfo=UTC)
QUARTER = mistakes.around(MORNING, apart=timedelta(minutes=15))


def scored_north(method, times, place=MEADOW, **more):
    """North as the method module lays it, by the columns of the batch file."""
    row = {
        "attempt": "1", "method": method, "lat": place.latitude_deg, "lon": place.longitude_deg,
        "elevation_m": place.elevation_m, "times": times, "check": "direct", "reading_deg": 0.0,
        "tolerance_deg": 10.0, "slope_deg": place.slope_deg, "downhill_deg": place.downhill_deg,
    } | more  # fmt: skip
    return float(scoring.score({name: [value] for name, value in row.items()})
                 .columns["method_error_deg"][0])  # fmt: skip


@pytest.mark.parametrize("downhill_deg", [0.0, 75.0, 250.0])
def test_a_faultless_stick_lays_what_the_shadow_tip_method_lays(downhill_deg):
    place = mistakes.sloping(MEADOW, slope_deg=5.0, downhill_deg=downhill_deg)
    line = mistakes.shadow_tip_line(QUARTER, place=place)
    assert line - 360.0 == pytest.approx(scored_north("shadow-tip", list(QUARTER), place))


def test_a_faultless_stick_lays_what_equal_shadows_lay():
    line = mistakes.equal_shadow_line(MORNING, place=MEADOW)
    assert line == pytest.approx(scored_north("equal-shadow", [MORNING]), abs=0.002)


def test_a_faultless_stick_lays_what_first_and_last_shadow_lay():
    times = (MORNING, MORNING + timedelta(hours=10))
    line = mistakes.first_last_line(times, place=MEADOW)
    assert line == pytest.approx(scored_north("first-last", list(times)) % 360.0)


def test_the_shortest_shadow_of_an_upright_stick_points_north():
    line = mistakes.shortest_shadow_line(MORNING, place=MEADOW)
    assert difference_deg(line, 0.0) == pytest.approx(0.0, abs=0.05)


def test_a_stick_that_leans_the_same_way_all_the_time_turns_no_shadow_tip_line():
    plain = mistakes.shadow_tip_line(QUARTER, place=MEADOW)
    leaning = Stick(lean_deg=5.0, lean_towards_deg=120.0)
    line = mistakes.shadow_tip_line(QUARTER, place=MEADOW, sticks=(leaning, leaning))
    assert line == pytest.approx(plain, abs=1e-9)


def test_the_worst_turn_is_found_with_its_bearing():
    turn, towards = mistakes.worst_turn(
        lambda bearing: 10.0 + 3.0 * np.sin(np.radians(bearing)), plain_deg=10.0
    )
    assert (abs(turn), towards) in [(pytest.approx(3.0), 90.0), (pytest.approx(3.0), 270.0)]


def test_marks_a_third_of_the_time_apart_scatter_three_times_as_much():
    wide, narrow = (
        mistakes.shadow_tip_scatter_deg(
            mistakes.around(MORNING, apart=timedelta(minutes=minutes)), place=MEADOW, mark_u_m=0.005
        )
        for minutes in (15, 5)
    )
    assert narrow / wide == pytest.approx(3.0, abs=0.01)


def test_a_sun_that_is_down_casts_no_shadow():
    with pytest.raises(NoShadowError):
        mistakes.tips([datetime(2026, 6, 20, 0, 0, tzinfo=UTC)], place=MEADOW, stick=Stick())


def test_a_shorter_stick_whose_shadow_is_never_so_long_again_is_refused():
    polar = Place(latitude_deg=85.0, longitude_deg=0.0)
    with pytest.raises(NoShadowError):
        mistakes.equal_shadow_line(
            datetime(2026, 6, 20, 1, 0, tzinfo=UTC), place=polar, later=Stick(length_m=0.5)
        )
