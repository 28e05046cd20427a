"""Where the sun is: pysolar's series evaluated once a day, interpolated in between.

The sun's declination, and its hour angle less the clock, change so slowly that a cubic through
four daily values keeps both within 0.00001 degrees; what is left per instant is one spherical
triangle. The series are those of the NREL solar position algorithm (Reda & Andreas 2004,
NREL/TP-560-34302) as pysolar holds them, with two repairs: an observed Delta T, and the cosine
of the obliquity in the sidereal time, which pysolar takes of degrees as if they were radians.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike
from pysolar import constants, solartime
from pysolar import solar as series

from solar.bearings import wrap_deg

FIRST_YEAR, LAST_YEAR = 1990, 2050
"""Years for which places of the sun are given."""

LOWEST_REFRACTED_DEG = -0.8333
"""True elevation below which the correction for refraction is held at its value there."""

_US_PER_DAY = 86_400_000_000
_MARGIN_DAYS = 8  # local dates, nights and searches reach past the ends of the years
_FIRST_DAY = int(np.datetime64(f"{FIRST_YEAR}-01-01", "D").astype(int)) - _MARGIN_DAYS
_LAST_DAY = int(np.datetime64(f"{LAST_YEAR + 1}-01-01", "D").astype(int)) + _MARGIN_DAYS
_A_TIME = np.datetime64(f"{FIRST_YEAR}-01-01", "us")  # stands in where there is none
_UNIX_EPOCH_JD = 2440587.5
# Larger arrays are done in pieces that stay in the processor's cache.
_PIECE = 16_384

# TT - UT1 in seconds at the start of each year from 1990. Observed values as the IERS publishes
# them (from memory, checked in tests/reference against two libraries' own tables); held level
# from the last one on, since ten seconds of error move the sun by only 0.0001 degrees.
_DELTA_T_S = np.array(
    [56.86, 57.57, 58.31, 59.12, 59.99, 60.79, 61.63, 62.30, 62.97, 63.47]
    + [63.83, 64.09, 64.30, 64.47, 64.57, 64.69, 64.85, 65.15, 65.46, 65.78]
    + [66.07, 66.32, 66.60, 66.91, 67.28, 67.64, 68.10, 68.59, 68.97, 69.22]
    + [69.36, 69.36, 69.29, 69.20, 69.18, 69.14, 69.10]
)


class OutOfYearsError(ValueError):
    """An instant outside the years for which places of the sun are given."""


def delta_t_s(times: ArrayLike) -> np.ndarray:
    """TT - UT in seconds at UTC instants (datetime64, any shape), linear between years."""
    days = np.asarray(times, dtype="datetime64[us]").astype("int64") / _US_PER_DAY
    return _delta_t_of_days(days)


def _delta_t_of_days(days: np.ndarray) -> np.ndarray:
    starts = np.arange(FIRST_YEAR, FIRST_YEAR + _DELTA_T_S.size) - 1970
    start_days = starts.astype("datetime64[Y]").astype("datetime64[D]").astype(float)
    return np.interp(days, start_days, _DELTA_T_S)


def utc_times(times: ArrayLike | datetime | Iterable[datetime]) -> np.ndarray:
    """Instants as datetime64[us] UTC, same shape.

    Takes datetime64 arrays (taken as UTC) and aware datetimes; a naive one is a ValueError.
    """
    array = np.asarray(times)
    if array.dtype.kind == "M":
        return array.astype("datetime64[us]")
    instants = np.asarray(times, dtype=object)
    flat = []
    for instant in instants.ravel():
        if not isinstance(instant, datetime):
            raise ValueError(f"{instant!r} is not a time.")
        if instant.tzinfo is None:
            raise ValueError(f"{instant.isoformat()} is naive: give it an offset or a zone.")
        flat.append(instant.astimezone(UTC).replace(tzinfo=None))
    return np.array(flat, dtype="datetime64[us]").reshape(instants.shape)


def sun_position(
    times: ArrayLike | datetime | Iterable[datetime],
    *,
    latitude_deg: ArrayLike,
    longitude_deg: ArrayLike,
    elevation_m: ArrayLike = 0.0,
    refraction: bool = True,
) -> tuple[np.ndarray, np.ndarray]:
    """Azimuth and elevation of the sun's centre at instants and places that broadcast.

    times: datetime64 array (UTC) or aware datetimes, years 1990 to 2050 (OutOfYearsError);
    NaT gives NaN.
    latitude_deg, longitude_deg: north and east positive. elevation_m: metres.
    refraction: apparent elevation through the standard atmosphere at that elevation
    (ISO 2533); without it the true one.

    Returns (azimuth_deg, elevation_deg), each of the broadcast shape: azimuth clockwise from
    true north in [0, 360), elevation in [-90, 90]. Within 0.0005 degrees of the NREL algorithm.
    """
    instants, nothing = _instants(times)
    place = _place(latitude_deg, longitude_deg, elevation_m)
    shape = np.broadcast_shapes(instants.shape, *(part.shape for part in place))
    instants = np.broadcast_to(instants, shape).ravel()
    # One place for all instants stays a single value instead of being spread over them.
    single = all(part.size == 1 for part in place)
    place = [part.reshape(1) if single else np.broadcast_to(part, shape).ravel() for part in place]
    azimuth, elevation = np.empty(instants.size), np.empty(instants.size)
    for start in range(0, instants.size, _PIECE):
        piece = slice(start, start + _PIECE)
        where = slice(None) if single else piece
        azimuth[piece], elevation[piece] = _position(
            instants[piece], *(part[where] for part in place), refraction
        )
    azimuth, elevation = azimuth.reshape(shape), elevation.reshape(shape)
    if nothing is not None:
        missing = np.broadcast_to(nothing, shape)
        azimuth[missing] = elevation[missing] = np.nan
    return azimuth, elevation


def declination_and_hour_angle(
    times: ArrayLike | datetime | Iterable[datetime], *, longitude_deg: ArrayLike
) -> tuple[np.ndarray, np.ndarray]:
    """The sun's geocentric declination and local hour angle, degrees.

    times and longitude_deg broadcast. Declination north positive; hour angle in (-180, 180],
    negative in the forenoon. NaT gives NaN.
    """
    instants, nothing = _instants(times)
    sin_dec, greenwich, _ = _DAILY.at(instants.ravel())
    declination = np.degrees(np.arcsin(sin_dec)).reshape(instants.shape)
    greenwich = greenwich.reshape(instants.shape)
    if nothing is not None:
        declination[nothing] = greenwich[nothing] = np.nan
    hour_angle = wrap_deg(greenwich + np.asarray(longitude_deg, dtype=float))
    return np.broadcast_to(declination, hour_angle.shape).copy(), hour_angle


def _instants(times) -> tuple[np.ndarray, np.ndarray | None]:
    """Microseconds since 1970, and which of them are no time (None where all are)."""
    instants = utc_times(times)
    nothing = np.isnat(instants)
    if not nothing.any():
        return instants.astype("int64"), None
    return np.where(nothing, _A_TIME, instants).astype("int64"), nothing


def refraction_deg(true_elevation_deg: ArrayLike, *, elevation_m: ArrayLike = 0.0) -> np.ndarray:
    """What the standard atmosphere adds to a true elevation, degrees; arrays broadcast.

    The SPA formula (NREL/TP-560-34302, equation 42) with pressure and temperature of the
    standard atmosphere (ISO 2533) at elevation_m. Below -0.8333 degrees it keeps its value
    there, so that it has no step.
    """
    height = np.asarray(elevation_m, dtype=float)
    pressure_hpa = 1013.25 * (1.0 - 2.25577e-5 * height) ** 5.25588
    temperature_c = 15.0 - 0.0065 * height
    density = (pressure_hpa / 1010.0) * (283.0 / (273.0 + temperature_c)) * (1.02 / 60.0)
    held = np.maximum(np.asarray(true_elevation_deg, dtype=float), LOWEST_REFRACTED_DEG)
    return density / np.tan(np.radians(held + 10.3 / (held + 5.11)))


def _place(latitude_deg, longitude_deg, elevation_m) -> list[np.ndarray]:
    """What a position needs of places: sine and cosine of latitude, the observer's distances
    from the axis and the equator in Earth radii, longitude and elevation."""
    latitude = np.asarray(latitude_deg, dtype=float)
    height = np.asarray(elevation_m, dtype=float)
    return [
        np.sin(np.radians(latitude)),
        np.cos(np.radians(latitude)),
        np.asarray(series.get_projected_radial_distance(height, latitude)),
        np.asarray(series.get_projected_axial_distance(height, latitude)),
        np.asarray(longitude_deg, dtype=float),
        height,
    ]


def _position(instants, sin_lat, cos_lat, radial, axial, longitude_deg, height_m, refraction):
    sin_dec, greenwich, sin_parallax = _DAILY.at(instants)
    hour_angle = np.radians(greenwich + longitude_deg)
    cos_dec = np.sqrt(1.0 - sin_dec * sin_dec)
    # The sun seen from the place instead of the Earth's centre: towards the meridian on the
    # equator, westward, and along the axis.
    to_meridian = cos_dec * np.cos(hour_angle) - radial * sin_parallax
    west = cos_dec * np.sin(hour_angle)
    axis = sin_dec - axial * sin_parallax
    north = axis * cos_lat - to_meridian * sin_lat
    up = to_meridian * cos_lat + axis * sin_lat
    azimuth = np.degrees(np.arctan2(west, -north)) + 180.0
    azimuth[azimuth >= 360.0] = 0.0
    elevation = np.degrees(np.arctan2(up, np.sqrt(north * north + west * west)))
    if refraction:
        elevation += refraction_deg(elevation, elevation_m=height_m)
    return azimuth, elevation


@dataclass(frozen=True)
class Frame:
    """What turns a mean place of J2000.0 into one of date; arrays of one shape, degrees.

    centuries: Julian centuries of terrestrial time since J2000.0. sun_longitude_deg: apparent.
    sidereal_deg: apparent sidereal time at Greenwich.
    """

    centuries: np.ndarray
    mean_obliquity_deg: np.ndarray
    obliquity_deg: np.ndarray
    nutation_longitude_deg: np.ndarray
    sun_longitude_deg: np.ndarray
    sidereal_deg: np.ndarray


def frame_of_date(times: ArrayLike) -> Frame:
    """The frame of date at instants (datetime64 UTC or aware datetimes, any shape)."""
    instants = utc_times(times).astype("int64")
    days = instants.ravel() / _US_PER_DAY
    frame, _, _ = _frame(days)
    return Frame(*(part.reshape(instants.shape) for part in vars(frame).values()))


class _DailyValues:
    """The slow quantities at 0 h UT of each day, computed when first asked for.

    Per day: cubics (in days since 0 h) for the sine of the declination and for the Greenwich
    hour angle less the mean sun's, and the sine of the parallax, which is constant enough.
    """

    def __init__(self) -> None:
        count = _LAST_DAY - _FIRST_DAY + 1
        self._nodes = np.full((count + 3, 3), np.nan)  # the day before to two days after
        self._cubics = np.full((count, 9), np.nan)
        self._ready = np.zeros(count, dtype=bool)

    def at(self, instants: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Sine of declination, Greenwich hour angle in degrees and sine of parallax.

        instants: int64 microseconds since 1970, UTC, one dimension.
        """
        day = instants // _US_PER_DAY
        part = (instants - day * _US_PER_DAY) * (1.0 / _US_PER_DAY)
        day -= _FIRST_DAY
        if day.size and not (day.min() >= 0 and day.max() < self._ready.size):
            raise OutOfYearsError(
                f"Places of the sun are given for the years {FIRST_YEAR} to {LAST_YEAR}."
            )
        if not self._ready[day].all():
            self._prepare(day)
        rows = self._cubics[day].T
        sin_dec = ((rows[3] * part + rows[2]) * part + rows[1]) * part + rows[0]
        slow = ((rows[7] * part + rows[6]) * part + rows[5]) * part + rows[4]
        return sin_dec, slow + 360.0 * part, rows[8]

    def _prepare(self, days: np.ndarray) -> None:
        # Flags instead of np.unique, whose first call loads a package of its own for 10 ms.
        wanted = np.zeros(self._ready.size, dtype=bool)
        wanted[days] = True
        days = np.nonzero(wanted & ~self._ready)[0]
        needed = np.zeros(self._nodes.shape[0], dtype=bool)
        for ahead in range(4):
            needed[days + ahead] = True
        near = np.nonzero(needed & np.isnan(self._nodes[:, 0]))[0]
        if near.size:
            self._nodes[near] = _daily_nodes(near + (_FIRST_DAY - 1))
        before, here, after, beyond = (self._nodes[days + n, :2] for n in range(4))
        # Lagrange's cubic through the four days, as a polynomial in the part of the day.
        cubics = np.empty((days.size, 9))
        for column in range(2):
            a, b, c, d = (values[:, column] for values in (before, here, after, beyond))
            first = 4 * column
            cubics[:, first] = b
            cubics[:, first + 1] = c - a / 3.0 - b / 2.0 - d / 6.0
            cubics[:, first + 2] = (a + c) / 2.0 - b
            cubics[:, first + 3] = (d - a) / 6.0 + (b - c) / 2.0
        cubics[:, 8] = self._nodes[days + 1, 2]
        self._cubics[days] = cubics
        self._ready[days] = True


def _daily_nodes(days: np.ndarray) -> np.ndarray:
    """Sine of declination, hour angle less the mean sun's (degrees), sine of parallax.

    days: whole days since 1970, one dimension; values at 0 h UT; shape (days, 3).
    """
    frame, latitude_deg, distance_au = _frame(days.astype(float))
    ascension_deg = series.get_geocentric_sun_right_ascension(
        frame.sun_longitude_deg, frame.obliquity_deg, latitude_deg
    )
    declination_deg = series.get_geocentric_sun_declination(
        frame.sun_longitude_deg, frame.obliquity_deg, latitude_deg
    )
    # At 0 h the mean sun is at its lower culmination: what is left is the equation of time.
    from_lower = np.mod(frame.sidereal_deg - ascension_deg, 360.0) - 180.0
    parallax_rad = np.radians(8.794 / 3600.0 / distance_au)
    return np.column_stack(
        [np.sin(np.radians(declination_deg)), from_lower + 180.0, np.sin(parallax_rad)]
    )


def _frame(days: np.ndarray) -> tuple[Frame, np.ndarray, np.ndarray]:
    """The frame of date, the sun's latitude (degrees) and its distance (au).

    days: UT days since 1970, one dimension.
    """
    jd = days + _UNIX_EPOCH_JD
    jde = jd + _delta_t_of_days(days) / 86_400.0
    jce = solartime.get_julian_ephemeris_century(jde)
    jme = solartime.get_julian_ephemeris_millennium(jce)
    distance_au = _planetary(jme, constants.sun_earth_distance_coeffs)
    nutation = _nutation(jce)
    obliquity_deg = series.get_true_ecliptic_obliquity(jme, nutation)
    longitude_deg = series.get_apparent_sun_longitude(
        np.degrees(_planetary(jme, constants.heliocentric_longitude_coeffs)) + 180.0,
        nutation,
        series.get_aberration_correction(distance_au),
    )
    sidereal_deg = series.get_mean_sidereal_time(jd) + nutation["longitude"] * np.cos(
        np.radians(obliquity_deg)
    )
    frame = Frame(
        jce,
        obliquity_deg - nutation["obliquity"],
        obliquity_deg,
        nutation["longitude"],
        longitude_deg,
        sidereal_deg,
    )
    latitude_deg = -np.degrees(_planetary(jme, constants.heliocentric_latitude_coeffs))
    return frame, latitude_deg, distance_au


# The next two sum pysolar's own tables of terms with a few array operations; its functions
# take two or three hundred, which is what a handful of scattered dates would spend its time on.


def _planetary(jme: np.ndarray, table: list) -> np.ndarray:
    """A sum of periodic terms of pysolar's planetary tables (radians or astronomical units)."""
    total = np.zeros_like(jme)
    for power, terms in enumerate(table):
        amplitude, phase, rate = np.array(terms, dtype=float).T
        waves = np.cos(phase + np.multiply.outer(jme, rate)) * amplitude
        total += waves.sum(axis=-1) * jme**power
    return total / 1e8


def _nutation(jce: np.ndarray) -> dict[str, np.ndarray]:
    """Nutation in longitude and obliquity, degrees, from pysolar's tables of arguments."""
    arguments = constants.get_aberration_coeffs()
    names = ("MeanElongationOfMoon", "MeanAnomalyOfSun", "MeanAnomalyOfMoon")
    names += ("ArgumentOfLatitudeOfMoon", "LongitudeOfAscendingNode")
    angles = np.column_stack([arguments[name](jce) for name in names])
    terms = np.array(constants.aberration_sin_terms, dtype=float)
    phases = np.radians((angles[:, None, :] * terms).sum(axis=-1))
    a, b, c, d = np.array(constants.nutation_coefficients, dtype=float).T
    # Tabulated in ten-thousandths of a second of arc.
    scale = 1.0 / 36_000_000.0
    return {
        "longitude": ((a + np.multiply.outer(jce, b)) * np.sin(phases)).sum(axis=-1) * scale,
        "obliquity": ((c + np.multiply.outer(jce, d)) * np.cos(phases)).sum(axis=-1) * scale,
    }


_DAILY = _DailyValues()
