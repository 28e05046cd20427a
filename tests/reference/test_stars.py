"""Stars against astropy and skyfield, offline, at random places and dates; the axis by geometry."""

import warnings
from datetime import UTC

import astropy.units as u
import ephem
import numpy as np
import pytest
from astropy.coordinates import AltAz, EarthLocation, SkyCoord, get_body_barycentric_posvel
from astropy.time import Time
from astropy.utils import iers
from skyfield.api import Star, load, wgs84
from skyfield.positionlib import Barycentric
from skyfield.relativity import add_aberration

from solar import stars
from tests.reference.libraries import random_instants, random_places

pytestmark = pytest.mark.reference

CLOSE_DEG = 0.01
SCALE = load.timescale(builtin=True)
STARS = {star.name: star for star in (stars.POLARIS, stars.ACRUX, stars.GACRUX)}


def places(seed, count=300):
    generator = np.random.default_rng(seed)
    times = random_instants(generator, count)
    latitude, longitude, _height = random_places(generator, count)
    return times, latitude, longitude


def ours(star, times, latitude, longitude):
    return stars.horizontal(
        stars.apparent_direction(star, times),
        times,
        latitude_deg=latitude,
        longitude_deg=longitude,
    )


def apart_deg(first, second):
    """Angle between two directions given as azimuth and elevation, degrees."""
    (a1, h1), (a2, h2) = (np.radians(pair) for pair in (first, second))
    cosine = np.sin(h1) * np.sin(h2) + np.cos(h1) * np.cos(h2) * np.cos(a1 - a2)
    return np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0)))


def azimuth_miss_deg(first, second):
    return np.abs((first - second + 180.0) % 360.0 - 180.0)


def astropy_horizontal(star, times, latitude, longitude):
    with warnings.catch_warnings(), iers.conf.set_temp("auto_max_age", None):
        # ERFA warns of years whose leap seconds are not known yet; the tables that the package
        # ships must do, however old.
        warnings.simplefilter("ignore")
        moments = Time(times, scale="utc")
        # By the clock on the wall, as the module does: UT1 is taken to be UTC.
        moments.delta_ut1_utc = np.zeros(moments.shape)
        coordinates = SkyCoord(
            ra=star.ascension_deg * u.deg,
            dec=star.declination_deg * u.deg,
            pm_ra_cosdec=star.motion_ra_mas * u.mas / u.yr,
            pm_dec=star.motion_dec_mas * u.mas / u.yr,
            distance=100 * u.pc,
            radial_velocity=0 * u.km / u.s,
            obstime=Time("J2000.0"),
            frame="icrs",
        ).apply_space_motion(new_obstime=moments)
        there = EarthLocation.from_geodetic(longitude * u.deg, latitude * u.deg, 0.0 * u.m)
        seen = coordinates.transform_to(AltAz(obstime=moments, location=there))
    return seen.az.deg, seen.alt.deg


@pytest.mark.parametrize("name", STARS)
def test_stars_stand_where_astropy_has_them(name):
    # astropy (IAU 2006/2000A through ERFA), with its own aberration, precession and nutation.
    times, latitude, longitude = places(11)
    found = ours(STARS[name], times, latitude, longitude)
    expected = astropy_horizontal(STARS[name], times, latitude, longitude)
    assert apart_deg(found, expected).max() < CLOSE_DEG


def test_the_pole_stars_bearing_is_astropys_where_the_method_is_used():
    # Where the method is allowed (5 N and on) and people live (66 N).
    times, _, longitude = places(12)
    latitude = np.random.default_rng(12).uniform(5.0, 66.0, times.size)
    found, _ = ours(stars.POLARIS, times, latitude, longitude)
    expected, _ = astropy_horizontal(stars.POLARIS, times, latitude, longitude)
    assert azimuth_miss_deg(found, expected).max() < CLOSE_DEG


@pytest.mark.parametrize("name", STARS)
def test_stars_stand_where_skyfield_has_them(name):
    # skyfield 1.5 with the tables it ships: precession and nutation IAU 2000A, its own proper
    # motion and aberration; the Earth's place and velocity, which it would read from a file, are
    # ERFA's (epv00). Its UT1 is the observed one, up to 0.9 s (0.004 degrees) from UTC.
    star = STARS[name]
    times, latitude, longitude = places(13, 60)
    expected = [
        skyfield_horizontal(star, *row) for row in zip(times, latitude, longitude, strict=True)
    ]
    found = ours(star, times, latitude, longitude)
    assert apart_deg(found, np.array(expected).T).max() < CLOSE_DEG


def skyfield_horizontal(star, time, latitude, longitude):
    moment = SCALE.from_datetime(time.item().replace(tzinfo=UTC))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # ERFA, of years to come
        earth = get_body_barycentric_posvel("earth", Time(time, scale="utc"), ephemeris="builtin")
    position, velocity = (part.xyz for part in earth)
    observer = Barycentric(
        position.to_value(u.au), velocity.to_value(u.au / u.d), t=moment, center=0, target=399
    )
    seen = observer.observe(
        Star(
            ra_hours=star.ascension_deg / 15.0,
            dec_degrees=star.declination_deg,
            ra_mas_per_year=star.motion_ra_mas,
            dec_mas_per_year=star.motion_dec_mas,
            epoch=SCALE.J2000,
        )
    )
    direction = seen.position.au.copy()
    add_aberration(direction, observer.velocity.au_per_d, seen.light_time)
    north, east, up = wgs84.latlon(latitude, longitude).rotation_at(moment) @ direction
    azimuth = np.degrees(np.arctan2(east, north)) % 360.0
    return azimuth, np.degrees(np.arctan2(up, np.hypot(north, east)))


@pytest.mark.parametrize("name", STARS)
def test_places_and_motions_are_the_catalogues(name):
    # PyEphem ships places (J2000.0) and motions of the Hipparcos catalogue (ESA SP-1200, 1997).
    star, listed = STARS[name], ephem.star(name)
    theirs = SkyCoord(ra=float(listed._ra) * u.rad, dec=float(listed._dec) * u.rad)
    here = SkyCoord(ra=star.ascension_deg * u.deg, dec=star.declination_deg * u.deg)
    assert theirs.separation(here).to_value(u.arcsec) < 0.1
    # The catalogue's new reduction moved them by up to three quarters of a thousandth a year,
    # which comes to 0.04 arc seconds by 2050.
    assert star.motion_ra_mas == pytest.approx(listed._pmra, abs=1.0)
    assert star.motion_dec_mas == pytest.approx(listed._pmdec, abs=1.0)


def test_polaris_is_two_thirds_of_a_degree_from_the_pole_today():
    # Common knowledge of almanacs: about 0.66 degrees in 2020, 0.45 at its nearest about 2100.
    times = np.array(["2020-06-01"], dtype="datetime64[us]")
    direction = stars.apparent_direction(stars.POLARIS, times)[0]
    distance = np.degrees(np.arccos(direction[2]))
    assert distance == pytest.approx(0.66, abs=0.02)


def test_four_and_a_half_lengths_beyond_acrux_is_near_the_pole():
    # Common practice, no source: the rule leads to within a few degrees of the pole.
    times = np.array(["2026-03-10"], dtype="datetime64[us]")
    top, foot = (stars.apparent_direction(star, times) for star in (stars.GACRUX, stars.ACRUX))
    point = stars.extended(top, foot, times_its_length=4.5)[0]
    assert 90.0 + np.degrees(np.arcsin(point[2])) < 3.5


def test_extending_agrees_with_astropys_directional_offset():
    times, _, _ = places(14, 20)
    top, foot = (stars.apparent_direction(star, times) for star in (stars.GACRUX, stars.ACRUX))
    point = stars.extended(top, foot, times_its_length=4.5)
    first, second, found = (
        SkyCoord(*vectors.T, representation_type="cartesian") for vectors in (top, foot, point)
    )
    first, second, found = (
        SkyCoord(one.spherical.lon, one.spherical.lat) for one in (first, second, found)
    )
    expected = first.directional_offset_by(
        first.position_angle(second), 5.5 * first.separation(second)
    )
    assert found.separation(expected).deg.max() < 1e-6
