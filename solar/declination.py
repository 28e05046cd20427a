"""Magnetic declination from the World Magnetic Model that holds the date, over arrays.

The coefficients are those that pygeomag carries; its own calculation takes one place at a time,
so the sum of spherical harmonics is done here for all places at once (WMM2025 technical report,
NOAA NCEI, equations 4 to 19). Grid convergence comes from pyproj.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike
from pygeomag.wmm.wmm_2010 import WMM_2010
from pygeomag.wmm.wmm_2015v2 import WMM_2015v2
from pygeomag.wmm.wmm_2020 import WMM_2020
from pygeomag.wmm.wmm_2025 import WMM_2025
from pyproj import Proj

from solar import utm
from solar.ephemeris import utc_times

UNUSABLE_NT = 2000.0
"""Horizontal field below which a compass cannot be used."""
CAUTION_NT = 6000.0
"""Horizontal field below which a compass is used with caution."""
MODEL_YEARS = 5

_WGS84_A_KM, _WGS84_B_KM = 6378.137, 6356.7523142
_REFERENCE_RADIUS_KM = 6371.2
_ORDER = 12


@dataclass(frozen=True)
class Model:
    """One World Magnetic Model: Schmidt semi-normalised coefficients in nT and nT a year."""

    name: str
    epoch: float
    g: np.ndarray
    h: np.ndarray
    g_rate: np.ndarray
    h_rate: np.ndarray
    error_a_deg: float | None
    error_b: float | None
    """D_u = sqrt(a^2 + (b / H)^2); none are published for the models before 2015."""

    def holds(self, year: np.ndarray) -> np.ndarray:
        return (self.epoch <= year) & (year < self.epoch + MODEL_YEARS)


@dataclass(frozen=True)
class Field:
    """The field at each place and instant; NaN and '' where no model holds the date."""

    declination_deg: np.ndarray
    """East positive."""
    uncertainty_deg: np.ndarray
    """Standard uncertainty of the model; NaN where none is published (before 2015)."""
    horizontal_nt: np.ndarray
    model: np.ndarray
    yearly_change_deg: np.ndarray
    """How much the declination grows in a year by the model's own rates, degrees, to the east
    positive."""


@lru_cache(maxsize=1)
def models() -> tuple[Model, ...]:
    """The models at hand, oldest first."""
    tables = [
        (WMM_2010, None, None),
        (WMM_2015v2, 0.23, 5430.0),
        (WMM_2020, 0.26, 5625.0),
        (WMM_2025, 0.26, 5417.0),
    ]
    return tuple(_model(*table) for table in tables)


def _model(table, error_a_deg, error_b) -> Model:
    (epoch, name, _), rows = table
    parts = np.zeros((4, _ORDER + 1, _ORDER + 1))
    for n, m, *values in rows:
        parts[:, int(n), int(m)] = values
    return Model(name, float(epoch), *parts, error_a_deg, error_b)


def first_and_last_year() -> tuple[float, float]:
    """Decimal years that the models at hand hold, first and the end of the last."""
    return models()[0].epoch, models()[-1].epoch + MODEL_YEARS


def decimal_year(times: ArrayLike) -> np.ndarray:
    """Decimal years of UTC instants (datetime64, any shape)."""
    instants = np.asarray(times, dtype="datetime64[us]")
    year = instants.astype("datetime64[Y]")
    start, end = year.astype("datetime64[us]"), (year + 1).astype("datetime64[us]")
    return year.astype(int) + 1970 + (instants - start) / (end - start)


def declination(
    times: ArrayLike,
    *,
    latitude_deg: ArrayLike,
    longitude_deg: ArrayLike,
    elevation_m: ArrayLike = 0.0,
) -> Field:
    """The magnetic field at instants and places that broadcast to one dimension or none.

    times: datetime64 UTC or aware datetimes. Latitude within +-90, north and east positive.
    """
    year, latitude, longitude, height = np.broadcast_arrays(
        decimal_year(utc_times(times)),
        np.asarray(latitude_deg, dtype=float),
        np.asarray(longitude_deg, dtype=float),
        np.asarray(elevation_m, dtype=float),
    )
    shape = year.shape
    year, latitude, longitude, height = (
        part.ravel() for part in (year, latitude, longitude, height)
    )
    result = np.full((4, year.size), np.nan)
    names = np.full(year.size, "", dtype=object)
    for model in models():
        rows = np.nonzero(model.holds(year))[0]
        if not rows.size:
            continue
        places = latitude[rows], longitude[rows], height[rows]
        now, a_year = _horizontal_field(model, year[rows] - model.epoch, *places)
        (north, east), (north_rate, east_rate) = now, a_year
        result[0, rows] = np.degrees(np.arctan2(east, north))
        horizontal = np.hypot(east, north)
        if model.error_a_deg is not None:
            result[1, rows] = np.hypot(model.error_a_deg, model.error_b / horizontal)
        result[2, rows] = horizontal
        turn = (north * east_rate - east * north_rate) / horizontal**2
        result[3, rows] = np.degrees(turn)
        names[rows] = model.name
    declination_deg, uncertainty_deg, horizontal_nt, change_deg = (
        part.reshape(shape) for part in result
    )
    return Field(declination_deg, uncertainty_deg, horizontal_nt, names.reshape(shape), change_deg)


def _horizontal_field(model, years, latitude_deg, longitude_deg, elevation_m):
    """North and east components in nT and what a year adds to them; geodetic, one dimension.

    The field is linear in its coefficients, and those are linear in time.
    """
    latitude, longitude = np.radians(latitude_deg), np.radians(longitude_deg)
    height_km = elevation_m / 1000.0
    eccentricity2 = 1.0 - (_WGS84_B_KM / _WGS84_A_KM) ** 2
    curvature = _WGS84_A_KM / np.sqrt(1.0 - eccentricity2 * np.sin(latitude) ** 2)
    from_axis = (curvature + height_km) * np.cos(latitude)
    along_axis = (curvature * (1.0 - eccentricity2) + height_km) * np.sin(latitude)
    radius = np.hypot(from_axis, along_axis)
    cos_colat, sin_colat = along_axis / radius, from_axis / radius

    ratio = _REFERENCE_RADIUS_KM / radius
    scale = [ratio ** (n + 2) for n in range(_ORDER + 1)]
    cos_m = [np.cos(m * longitude) for m in range(_ORDER + 1)]
    sin_m = [np.sin(m * longitude) for m in range(_ORDER + 1)]
    sums = np.zeros((2, 3, radius.size))
    for n, m, value, slope in _legendre(cos_colat, sin_colat):
        if n == 0:
            continue
        g_rate, h_rate = model.g_rate[n, m], model.h_rate[n, m]
        g, h = model.g[n, m] + years * g_rate, model.h[n, m] + years * h_rate
        for (north, east, down), (g_, h_) in zip(sums, ((g, h), (g_rate, h_rate)), strict=True):
            along = (g_ * cos_m[m] + h_ * sin_m[m]) * scale[n]
            north += along * slope
            down -= (n + 1) * along * value
            if m:
                east += m * (g_ * sin_m[m] - h_ * cos_m[m]) * scale[n] * value
    tilt = np.arctan2(cos_colat, sin_colat) - latitude
    now, a_year = (
        (north * np.cos(tilt) - down * np.sin(tilt), east / sin_colat) for north, east, down in sums
    )
    return now, a_year


def _legendre(cos_colat, sin_colat):
    """Schmidt semi-normalised functions and their slopes by colatitude, as (n, m, P, dP)."""
    diagonal, diagonal_slope = np.ones_like(cos_colat), np.zeros_like(cos_colat)
    for m in range(_ORDER + 1):
        if m:
            factor = 1.0 if m == 1 else np.sqrt((2 * m - 1) / (2 * m))
            diagonal, diagonal_slope = (
                factor * sin_colat * diagonal,
                factor * (cos_colat * diagonal + sin_colat * diagonal_slope),
            )
        older, older_slope = np.zeros_like(cos_colat), np.zeros_like(cos_colat)
        value, slope = diagonal, diagonal_slope
        yield m, m, value, slope
        for n in range(m + 1, _ORDER + 1):
            down, norm = np.sqrt((n - 1) ** 2 - m**2), np.sqrt(n**2 - m**2)
            next_value = ((2 * n - 1) * cos_colat * value - down * older) / norm
            next_slope = (
                (2 * n - 1) * (cos_colat * slope - sin_colat * value) - down * older_slope
            ) / norm
            older, older_slope, value, slope = value, slope, next_value, next_slope
            yield n, m, value, slope


def grid_convergence_deg(*, latitude_deg: float, longitude_deg: float) -> float:
    """Grid north of the place's own UTM zone from true north, degrees, east positive.

    The zones of Norway and Svalbard are counted. Between 84 N and 80 S, where UTM is defined
    (ValueError beyond). PROJ's meridian convergence on WGS 84.
    """
    number = utm.zone(latitude_deg=latitude_deg, longitude_deg=longitude_deg)
    grid = Proj(proj="utm", zone=number, south=latitude_deg < 0.0, ellps="WGS84")
    return float(grid.get_factors(longitude_deg, latitude_deg).meridian_convergence)
