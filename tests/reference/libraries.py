"""Reference libraries asked offline, in arrays."""

import warnings

import astropy.units as u
import numpy as np
from astropy.coordinates import AltAz, EarthLocation, get_sun
from astropy.time import Time
from astropy.utils import iers
from pvlib import spa

# Nothing is fetched: the tables that the packages ship must do.
iers.conf.auto_download = False
iers.conf.iers_degraded_accuracy = "ignore"


def pvlib_sun(times, latitude_deg, longitude_deg, elevation_m, delta_t_s):
    """Azimuth and true elevation by pvlib's NumPy version of the NREL algorithm, degrees."""
    seconds = np.asarray(times).astype("datetime64[us]").astype("int64") / 1e6
    result = spa.solar_position(
        seconds, latitude_deg, longitude_deg, elevation_m, 1013.25, 15.0, delta_t_s, 0.5667
    )
    return result[4], result[3]


def astropy_sun(times, latitude_deg, longitude_deg, elevation_m):
    """Azimuth and true elevation by astropy (IAU 2006/2000A through ERFA), degrees.

    UT1 is set to UTC: the sun is asked for by the clock on the wall here, and the up to
    0.9 s between the two are no matter of the sun's place.
    """
    with warnings.catch_warnings():
        # ERFA warns that leap seconds after the coming year are unknown.
        warnings.simplefilter("ignore")
        moments = Time(np.asarray(times), scale="utc")
        moments.delta_ut1_utc = np.zeros(moments.shape)
        places = EarthLocation.from_geodetic(
            longitude_deg * u.deg, latitude_deg * u.deg, elevation_m * u.m
        )
        seen = get_sun(moments).transform_to(AltAz(obstime=moments, location=places))
        return seen.az.deg, seen.alt.deg


def random_instants(generator, count, first="1990-01-01", end="2051-01-01"):
    """Seeded instants, datetime64[us], evenly over [first, end)."""
    low, high = (np.datetime64(day, "us").astype("int64") for day in (first, end))
    return generator.integers(low, high, count).astype("datetime64[us]")


def random_places(generator, count):
    """Latitude, longitude and elevation, evenly over the sphere and up to 5000 m."""
    latitude = np.degrees(np.arcsin(generator.uniform(-1, 1, count)))
    return latitude, generator.uniform(-180, 180, count), generator.uniform(0, 5000, count)
