"""Where a few bright stars stand: apparent places good to a hundredth of a degree.

Proper motion, annual aberration, precession (Lieske 1979 angles, IAU 1976), nutation (the
tables that pysolar holds) and sidereal time; refraction is left out, since azimuths do not
need it and elevations here only say whether a star is up.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from solar.ephemeris import frame_of_date, utc_times

_ABERRATION_RAD = np.radians(20.49552 / 3600.0)
_MAS = 1.0 / 3_600_000.0


@dataclass(frozen=True)
class Star:
    """Mean place at J2000.0 in degrees, proper motion in thousandths of an arc second a year.

    motion_ra includes the cosine of the declination, as catalogues give it.
    """

    name: str
    ascension_deg: float
    declination_deg: float
    motion_ra_mas: float
    motion_dec_mas: float


def _degrees(whole: float, minutes: float, seconds: float) -> float:
    sign = -1.0 if whole < 0 else 1.0
    return sign * (abs(whole) + minutes / 60.0 + seconds / 3600.0)


# Places of the Hipparcos catalogue (ESA SP-1200, 1997) carried to J2000.0, motions of its new
# reduction (van Leeuwen, Astronomy & Astrophysics 474, 2007), both from memory; held to the
# catalogue as PyEphem ships it in tests/reference.
POLARIS = Star("Polaris", 15 * _degrees(2, 31, 49.0946), _degrees(89, 15, 50.792), 44.48, -11.85)
ACRUX = Star("Acrux", 15 * _degrees(12, 26, 35.8952), _degrees(-63, 5, 56.734), -35.83, -14.86)
GACRUX = Star("Gacrux", 15 * _degrees(12, 31, 9.9596), _degrees(-57, 6, 47.568), 28.23, -265.08)


def apparent_direction(star: Star, times: ArrayLike) -> np.ndarray:
    """Unit vectors towards a star in the true equator and equinox of date, (..., 3).

    times: datetime64 UTC or aware datetimes of any shape, years 1990 to 2050.
    """
    frame = frame_of_date(times)
    years = frame.centuries * 100.0
    ascension = np.radians(
        star.ascension_deg
        + years * star.motion_ra_mas * _MAS / np.cos(np.radians(star.declination_deg))
    )
    declination = np.radians(star.declination_deg + years * star.motion_dec_mas * _MAS)
    mean = _vector(ascension, declination)
    moved = mean + _ABERRATION_RAD * _earth_velocity(frame)
    of_date = _precessed(moved, frame.centuries)
    true = _nutated(of_date, frame)
    return true / np.linalg.norm(true, axis=-1, keepdims=True)


def horizontal(
    direction: np.ndarray, times: ArrayLike, *, latitude_deg: ArrayLike, longitude_deg: ArrayLike
) -> tuple[np.ndarray, np.ndarray]:
    """Azimuth [0, 360) and true elevation in degrees of directions of date, (..., 3).

    Everything broadcasts to the shape of direction without its last axis.
    """
    sidereal = np.radians(frame_of_date(utc_times(times)).sidereal_deg + np.asarray(longitude_deg))
    latitude = np.radians(np.asarray(latitude_deg, dtype=float))
    x, y, z = (direction[..., axis] for axis in range(3))
    to_meridian = x * np.cos(sidereal) + y * np.sin(sidereal)
    west = x * np.sin(sidereal) - y * np.cos(sidereal)
    north = z * np.cos(latitude) - to_meridian * np.sin(latitude)
    up = to_meridian * np.cos(latitude) + z * np.sin(latitude)
    azimuth = np.mod(np.degrees(np.arctan2(-west, north)), 360.0)
    return azimuth, np.degrees(np.arcsin(np.clip(up, -1.0, 1.0)))


def extended(start: np.ndarray, through: np.ndarray, *, times_its_length: float) -> np.ndarray:
    """The point beyond `through` on the great circle from `start`, so many lengths farther on.

    Unit vectors (..., 3); the length is the angle between the two.
    """
    cosine = np.clip((start * through).sum(axis=-1), -1.0, 1.0)
    angle = np.arccos(cosine)[..., None]
    across = through - start * cosine[..., None]
    across /= np.linalg.norm(across, axis=-1, keepdims=True)
    turn = angle * (1.0 + times_its_length)
    return start * np.cos(turn) + across * np.sin(turn)


def _vector(ascension: np.ndarray, declination: np.ndarray) -> np.ndarray:
    cos_dec = np.cos(declination)
    return np.stack(
        [cos_dec * np.cos(ascension), cos_dec * np.sin(ascension), np.sin(declination)], axis=-1
    )


def _earth_velocity(frame) -> np.ndarray:
    """Direction in which the Earth moves, in units of its mean speed (circular orbit)."""
    sun = np.radians(frame.sun_longitude_deg)
    obliquity = np.radians(frame.obliquity_deg)
    return np.stack(
        [np.sin(sun), -np.cos(sun) * np.cos(obliquity), -np.cos(sun) * np.sin(obliquity)], axis=-1
    )


def _turn(vector: np.ndarray, axis: int, angle: np.ndarray) -> np.ndarray:
    """The frame turned by an angle (radians) about one of its axes."""
    first, second = (axis + 1) % 3, (axis + 2) % 3
    turned = vector.copy()
    cosine, sine = np.cos(angle), np.sin(angle)
    turned[..., first] = cosine * vector[..., first] + sine * vector[..., second]
    turned[..., second] = -sine * vector[..., first] + cosine * vector[..., second]
    return turned


def _precessed(vector: np.ndarray, t: np.ndarray) -> np.ndarray:
    arc = np.radians(1.0 / 3600.0)
    zeta = (2306.2181 * t + 0.30188 * t**2 + 0.017998 * t**3) * arc
    z = (2306.2181 * t + 1.09468 * t**2 + 0.018203 * t**3) * arc
    theta = (2004.3109 * t - 0.42665 * t**2 - 0.041833 * t**3) * arc
    return _turn(_turn(_turn(vector, 2, -zeta), 1, theta), 2, -z)


def _nutated(vector: np.ndarray, frame) -> np.ndarray:
    mean = np.radians(frame.mean_obliquity_deg)
    true = np.radians(frame.obliquity_deg)
    longitude = np.radians(frame.nutation_longitude_deg)
    return _turn(_turn(_turn(vector, 0, mean), 2, -longitude), 0, -true)
