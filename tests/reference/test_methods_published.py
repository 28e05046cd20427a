"""The methods against formulas and figures worked out elsewhere."""

import numpy as np
import pytest
from scipy.stats import norm

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


def tip_motion_deg(latitude_deg, declination_deg, hour_angle_deg):
    """Turn of a shadow tip's motion from due east, by differentiating the tip's coordinates.

    The tip runs along a conic; with H the hour angle, forenoon negative:
    tan eps = tan(dec) sin H / (cos(lat) + tan(dec) sin(lat) cos H).
    """
    lat, dec, hour = np.radians([latitude_deg, declination_deg, hour_angle_deg])
    east = np.cos(lat) + np.tan(dec) * np.sin(lat) * np.cos(hour)
    return float(np.degrees(np.arctan2(np.tan(dec) * np.sin(hour), east)))


@pytest.mark.parametrize(
    ("latitude_deg", "june", "hour_angle_deg", "expected_deg", "near_deg"),
    # The December sun stands 14 degrees up, where refraction turns the chord by 0.16 degrees.
    [(40, True, -45, -17.664, 0.05), (40, False, -45, 28.334, 0.2), (50, True, -30, -13.120, 0.05)],
)
def test_fifteen_minute_chords_by_spherical_trigonometry(
    latitude_deg, june, hour_angle_deg, expected_deg, near_deg
):
    # Chords at declination 23.44 and -23.44 without an atmosphere, from the spherical triangle.
    time = solstice(june)
    _, longitude = longitude_for(time, hour_angle_deg)
    row = scored_one(lat=latitude_deg, lon=longitude, times=marks_around(time, 15))
    assert row["method_error_deg"] == pytest.approx(expected_deg, abs=near_deg)


@pytest.mark.parametrize("june", [True, False])
@pytest.mark.parametrize("latitude_deg", [-45, -20, 5, 33, 52])
def test_a_chord_follows_the_motion_of_the_tip(latitude_deg, june):
    # The formula is derived in tip_motion_deg; away from the horizon a 15-minute chord keeps
    # to within a few hundredths of a degree of it; refraction turns it where the sun is low.
    time = solstice(june)
    hours = np.arange(-40.0, 41.0, 8.0)
    declination, longitudes = longitude_for(time, hours)
    result = scored(
        lat=latitude_deg,
        lon=[float(longitude) for longitude in longitudes],
        times=marks_around(time, 15),
    )
    expected = np.array([tip_motion_deg(latitude_deg, declination, hour) for hour in hours])
    miss = np.abs(result["method_error_deg"] - expected)
    elevation = result["sun_elevation_deg"]
    assert (elevation > 8.0).sum() >= 5
    assert miss[elevation > 8.0].max() < 0.4
    assert miss[elevation > 25.0].max(initial=0.0) < 0.06


@pytest.mark.parametrize("hour_angle_deg", [90.0, 110.0, 120.0, 135.0, 150.0, 170.0])
def test_the_first_mark_is_not_west_under_the_midnight_sun(hour_angle_deg):
    # 'The first mark is always west' (common practice, no source) turns round where
    # cos(lat) cos(dec) + sin(lat) sin(dec) cos H < 0.
    time = solstice()
    declination, longitude = longitude_for(time, hour_angle_deg)
    lat, dec, hour = np.radians([75.0, declination, hour_angle_deg])
    reversed_ = np.cos(lat) * np.cos(dec) + np.sin(lat) * np.sin(dec) * np.cos(hour) < 0
    row = scored_one(lat=75, lon=longitude, times=marks_around(time, 15))
    assert (abs(row["method_error_deg"]) > 90.0) == reversed_


@pytest.mark.parametrize("latitude_deg", [-40.0, 25.0, 50.0])
@pytest.mark.parametrize("hour_angle_deg", [-30.0, -50.0])
def test_equal_shadows_are_off_by_half_the_change_of_declination(latitude_deg, hour_angle_deg):
    # Bisecting two equal elevations, as with equal altitudes at sea (Bowditch): the middle is
    # off by half the declination's change, divided by cos(lat) sin H.
    time = equinox()
    before, longitude = longitude_for(time, hour_angle_deg)
    hours_between = -2.0 * hour_angle_deg / 15.0
    after, _ = longitude_for(time + np.timedelta64(round(hours_between * 3600), "s"), 0.0)
    row = scored_one(
        method="equal-shadow", lat=latitude_deg, lon=longitude, times=texts_of([time])[0]
    )
    expected = (after - before) / 2.0
    expected /= np.cos(np.radians(latitude_deg)) * np.sin(np.radians(-hour_angle_deg))
    assert row["method_error_deg"] == pytest.approx(expected, rel=0.03)


def test_a_flawless_june_forenoon_line_fails_the_fifteen_degrees_of_the_soldiers_task():
    # US Army soldier's task of finding direction without a compass: within 15 degrees, marks
    # 10 to 15 minutes apart; three hours before noon at 40 N in late June.
    time = solstice()
    _, longitude = longitude_for(time, -45.0)
    marks = marks_around(time, 15)
    perfect = scored_one(lon=longitude, times=marks)["method_error_deg"]
    laid = scored_one(lon=longitude, times=marks, reading_deg=float(perfect % 360.0))
    assert laid["own_error_deg"] == pytest.approx(0.0, abs=1e-6)
    assert laid["verdict"] == "outside"
    at_noon = marks_around(time + np.timedelta64(3, "h"), 15)
    assert abs(scored_one(lon=longitude, times=at_noon)["method_error_deg"]) < 0.5


def watch_errors(latitude_deg, time):
    """Method errors of a watch that shows solar time, all day; computed in UTC at longitudes
    where the sun's hour angle is that of the watch."""
    minutes = np.arange(-720, 720, 2)
    start = time.astype("datetime64[D]").astype("datetime64[us]")
    times = start + (minutes + 720).astype("timedelta64[m]")
    longitudes = [longitude_for(t, m / 4.0)[1] for t, m in zip(times, minutes, strict=True)]
    result = scored(
        method="watch",
        lat=latitude_deg,
        lon=[float(longitude) for longitude in longitudes],
        times=texts_of(times),
        zone="UTC",
    )
    return result["method_error_deg"]


@pytest.mark.parametrize(("latitude_deg", "largest_deg"), [(40.0, 36.2), (60.0, 16.1)])
def test_largest_errors_of_the_watch_rule_in_late_june(latitude_deg, largest_deg):
    # Computed from the spherical triangle for solar time: 36.2 at 40 N, 16.1 at 60 N.
    errors = watch_errors(latitude_deg, solstice())
    assert np.nanmax(np.abs(errors)) == pytest.approx(largest_deg, abs=0.1)


def test_the_watch_rule_of_the_southern_hemisphere_mirrors_the_northern_one():
    # FM 3-05.70 (US Army) ch. 18 gives both: the hour hand, or 12, pointed at the sun.
    north = watch_errors(40.0, solstice())
    south = watch_errors(-40.0, solstice(north=False))
    assert np.nanmax(np.abs(south)) == pytest.approx(np.nanmax(np.abs(north)), abs=0.1)
    seen = ~np.isnan(north) & ~np.isnan(south)
    assert seen.sum() > 400
    assert np.abs(north + south)[seen].max() < 0.5


@pytest.mark.parametrize(("latitude_deg", "limit_deg"), [(0, 0.5), (30, 0.5), (50, 0.5), (64, 0.5)])
def test_first_and_last_shadow_over_a_flat_horizon_is_good_to_half_a_degree(
    latitude_deg, limit_deg
):
    # Computed for the definitions: the change of declination between rise and set is all.
    days = [str(day) for day in np.arange("2025-01-01", "2026-01-01", 5, dtype="datetime64[D]")]
    result = scored(method="first-last", lat=latitude_deg, zone="UTC", date=days, order="day")
    assert np.nanmax(np.abs(result["method_error_deg"])) < limit_deg
    assert set(result["problem"]) == {""}


def test_shadow_tip_through_the_year_at_45_north():
    # Orientation values: about -18 three hours before noon in June and +18 after, 0.1 all day
    # at an equinox, the signs turned round in December.
    june, december = solstice(), solstice(north=False)
    for time, sign in ((june, -1), (december, 1)):
        for hour_angle, half in ((-45.0, 1), (45.0, -1)):
            _, longitude = longitude_for(time, hour_angle)
            row = scored_one(lat=45, lon=longitude, times=marks_around(time, 15))
            assert np.sign(row["method_error_deg"]) == sign * half
            if time == june:
                assert abs(row["method_error_deg"]) == pytest.approx(18.0, abs=1.0)
    _, longitudes = longitude_for(equinox(), np.arange(-75.0, 76.0, 15.0))
    spread = scored(
        lat=45,
        lon=[float(longitude) for longitude in longitudes],
        times=marks_around(equinox(), 15),
    )
    assert np.abs(spread["method_error_deg"]).max() < 0.2


@pytest.mark.parametrize(("error_deg", "probability"), [(11, 0.97725), (12, 0.93319), (15, 0.5)])
def test_probability_of_being_within_as_in_jcgm_106(error_deg, probability):
    # JCGM 106:2012: tolerance 15, standard uncertainty 2, normal distribution. The guard band
    # of U = 2u accepts just where that probability is 0.97725 or more.
    assert norm.cdf((15 - error_deg) / 2.0) == pytest.approx(probability, abs=0.000005)
    row = scored_one(
        method="shortest-shadow",
        times="2025-03-20T12:07Z",
        reading_deg=error_deg,
        reading_u_deg=2,
    )
    assert row["expanded_uncertainty_deg"] == pytest.approx(4.0)
    assert (row["verdict"] == "within") == (norm.cdf((15 - error_deg) / 2.0) >= 0.97724)


@pytest.mark.parametrize(
    ("error_deg", "verdict"),
    [(11, "within"), (11.001, "too close to call"), (19, "too close to call"), (19.001, "outside")],
)
@pytest.mark.parametrize("side", [1, -1])
def test_the_edges_of_the_guard_band_of_jcgm_106(error_deg, verdict, side):
    # JCGM 106:2012, section 8: acceptance up to T - U, rejection beyond T + U.
    row = scored_one(
        method="shortest-shadow",
        times="2025-03-20T12:07Z",
        reading_deg=side * error_deg % 360,
        reading_u_deg=2,
    )
    assert row["verdict"] == verdict


def test_an_easterly_declination_is_added_to_a_compass_reading():
    # TC 3-25.26 (US Army, 2013), par. 6-14: with an easterly angle add it; 9 easterly turns 190
    # magnetic into 199. There it is the angle to grid north, the rule of signs is the same.
    row = scored_one(
        method="shortest-shadow",
        times="2025-03-20T12:07Z",
        check="compass",
        reading_deg=190,
        declination_deg=9,
    )
    assert row["laid_true_deg"] == pytest.approx(199.0)
    assert row["expanded_uncertainty_deg"] == pytest.approx(2 * np.hypot(1.5, 0.5))
