"""True, grid and magnetic north at a place on a date, for pages and sheets."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import numpy as np

from coursework.models import Site
from solar import declination as magnetic
from solar import utm
from solar.bearings import wrap_deg

NOTICE = timedelta(days=180)
"""How long before the end of a model's years it is said."""


@dataclass(frozen=True, kw_only=True)
class Norths:
    """Angles in degrees, clockwise (to the east) positive; None where there is none."""

    latitude_deg: float
    longitude_deg: float
    as_of: date
    declination_deg: float | None
    """Magnetic north from true north; None where no model holds the date."""
    uncertainty_deg: float | None
    yearly_change_deg: float | None
    horizontal_nt: float | None
    model: str
    convergence_deg: float | None
    """Grid north of the place's own UTM zone from true north; None beyond 84 N and 80 S."""
    zone: int | None

    @property
    def grid_magnetic_deg(self) -> float | None:
        """Magnetic north from grid north: what is added to a magnetic bearing for a grid one."""
        if self.declination_deg is None or self.convergence_deg is None:
            return None
        return float(wrap_deg(self.declination_deg - self.convergence_deg))

    @property
    def is_unusable(self) -> bool:
        """Whether the level part of the field is too weak for any compass."""
        return self.horizontal_nt is not None and self.horizontal_nt < magnetic.UNUSABLE_NT

    @property
    def needs_caution(self) -> bool:
        """Whether it is weak, yet not too weak."""
        weak = self.horizontal_nt is not None and self.horizontal_nt < magnetic.CAUTION_NT
        return weak and not self.is_unusable

    @property
    def last_day(self) -> date:
        """The last day that any model at hand holds."""
        return date(int(magnetic.first_and_last_year()[1]), 1, 1) - timedelta(days=1)

    @property
    def is_past_models(self) -> bool:
        return self.as_of > self.last_day

    @property
    def ends_soon(self) -> bool:
        return not self.is_past_models and self.last_day - self.as_of < NOTICE


def norths_at(
    *, latitude_deg: float, longitude_deg: float, elevation_m: float, as_of: date
) -> Norths:
    """The three norths at noon UTC of a date."""
    noon = datetime(as_of.year, as_of.month, as_of.day, 12, tzinfo=UTC)
    field = magnetic.declination(
        noon, latitude_deg=latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m
    )
    on_grid = utm.is_on_grid(latitude_deg)
    place = {"latitude_deg": latitude_deg, "longitude_deg": longitude_deg}
    return Norths(
        **place,
        as_of=as_of,
        declination_deg=_number(field.declination_deg),
        uncertainty_deg=_number(field.uncertainty_deg),
        yearly_change_deg=_number(field.yearly_change_deg),
        horizontal_nt=_number(field.horizontal_nt),
        model=str(field.model),
        convergence_deg=magnetic.grid_convergence_deg(**place) if on_grid else None,
        zone=utm.zone(**place) if on_grid else None,
    )


def norths_of(site: Site, as_of: date) -> Norths:
    return norths_at(
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        as_of=as_of,
    )


def _number(value: np.ndarray) -> float | None:
    return None if np.isnan(value) else float(value)
