"""A year of a method at a site: its error and marking scatter every ten minutes, kept ready.

Kept under a key made from everything that goes into the computation, so an edited site never
shows the values it had before.
"""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import numpy as np
from django.core.cache import cache

from coursework.models import Site
from solar import ENGINE
from solar.columns import SUN_METHODS
from solar.windows import Cells, Place, cells_of
from solar.year_grid import EVERY_MIN, YearGrid, year_grid

BLANK = -32768
"""Stands for no value in packed arrays."""
_LARGEST = 32767
_LAYOUT = 1
KEPT_S = 24 * 3600
INTERVAL_MIN = 15.0


@dataclass(frozen=True)
class MethodYear:
    """Packed values (dates, starts), int16, hundredths of a degree, `BLANK` where there are none.

    error: the method error, positive to the right, its size rounded up, so that a limit in
    whole hundredths parts these values exactly as it parts the computed ones. scatter: the
    marking scatter, at most 327.67 degrees.
    """

    method: str
    key: str
    grid: YearGrid
    error: np.ndarray
    scatter: np.ndarray

    def cells(self, first: date, last: date) -> Cells:
        """The values of the dates from first to last (both included), in degrees."""
        rows = [row for row, day in enumerate(self.grid.dates) if first <= day <= last]
        some = slice(rows[0], rows[-1] + 1) if rows else slice(0, 0)
        return Cells(
            self.grid.dates[some],
            self.grid.starts[some],
            unpacked(self.error[some]),
            unpacked(self.scatter[some]),
        )

    @property
    def is_blank(self) -> bool:
        """Whether the method cannot be used at any hour of the year."""
        return bool((self.error == BLANK).all())

    def packed(self) -> bytes:
        """Errors, then scatters: row by row, two bytes each, the lower one first."""
        return self.error.astype("<i2").tobytes() + self.scatter.astype("<i2").tobytes()


def place_of(site: Site) -> Place:
    return Place(
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        zone=site.zone_info,
        horizon=site.profile,
        slope_deg=site.slope_deg,
        downhill_deg=site.downhill_deg,
    )


def method_year(
    site: Site, method: str, year: int, *, interval_min: float = INTERVAL_MIN
) -> MethodYear:
    """The year of one of the sun's methods at a site.

    What is not kept yet is computed for all methods in one go. interval_min: between the two
    marks of a shadow tip, which alone depends on it.
    """
    keys = {name: _key(site, name, year, interval_min) for name in SUN_METHODS}
    found = cache.get(keys[method])
    if found is None:
        # Asked for without their values, which would have to be copied.
        missing = [name for name in SUN_METHODS if name == method or keys[name] not in cache]
        made = _compute(site, missing, year, interval_min)
        cache.set_many({keys[name]: made[name] for name in missing}, KEPT_S)
        found = made[method]
    return MethodYear(method, keys[method], year_grid(site.zone_info, year), *found)


def _compute(site: Site, methods: Iterable[str], year: int, interval_min: float) -> dict:
    found = cells_of(
        methods,
        place_of(site),
        first=date(year, 1, 1),
        last=date(year, 12, 31),
        every_min=EVERY_MIN,
        interval_min=interval_min,
    )
    return {
        name: (packed_error(cells.error_deg), packed_scatter(cells.scatter_deg))
        for name, cells in found.items()
    }


def packed_error(error_deg: np.ndarray) -> np.ndarray:
    """Degrees as int16 hundredths, away from nought; NaN becomes BLANK."""
    size = np.ceil(np.abs(error_deg) * 100.0)
    return _packed(np.copysign(size, error_deg))


def packed_scatter(scatter_deg: np.ndarray) -> np.ndarray:
    """Degrees as int16 hundredths, the nearest; NaN becomes BLANK."""
    return _packed(np.round(scatter_deg * 100.0))


def _packed(hundredths: np.ndarray) -> np.ndarray:
    limited = np.clip(hundredths, -_LARGEST, _LARGEST)
    return np.where(np.isnan(limited), BLANK, limited).astype(np.int16)


def unpacked(hundredths: np.ndarray) -> np.ndarray:
    """Degrees, NaN for BLANK."""
    return np.where(hundredths == BLANK, np.nan, hundredths / 100.0)


def _key(site: Site, method: str, year: int, interval_min: float) -> str:
    facts = [
        _LAYOUT,
        ENGINE,
        EVERY_MIN,
        method,
        year,
        interval_min if method == "shadow-tip" else 0,
        site.latitude_deg,
        site.longitude_deg,
        site.elevation_m,
        site.zone,
        site.horizon,
        site.slope_deg,
        site.downhill_deg,
    ]
    digest = hashlib.sha256(json.dumps(facts).encode()).hexdigest()[:32]
    return f"method-year-{digest}"
