"""What stands on the sun card of a site and a date: plain values, and where they come from."""

from dataclasses import dataclass
from datetime import date, datetime

import numpy as np

from assessments.sheets.place_words import skyline_words
from coursework.method_year import method_year
from coursework.models import Method, Site
from coursework.norths import Norths, norths_of
from coursework.sun import sun_of_day
from solar.bearings import wrap_deg
from solar.columns import SUN_METHODS
from solar.daylight import Day
from solar.suntable import SunRow, sun_table
from solar.windows import Cells
from solar.year_grid import local_of

EVERY_MIN = 15


@dataclass(frozen=True)
class HourErrors:
    """Method errors of a drill started then, in the order of the methods; None for no value."""

    time: datetime
    errors_deg: tuple[float | None, ...]


@dataclass(frozen=True)
class SunCard:
    """Times local and aware, angles in degrees, bearings true, lengths in stick lengths."""

    site: str
    school: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    zone: str
    skyline: str
    date: date
    sun: Day
    rows: tuple[SunRow, ...]
    """Every quarter of an hour from the first shadow to the last; NaN while the sun is hidden."""
    methods: tuple[str, ...]
    hours: tuple[HourErrors, ...]
    norths: Norths

    @property
    def clock_changes(self) -> bool:
        """Whether the clock is changed on the date, so that its times need their zone."""
        return len({row.time.utcoffset() for row in self.rows}) > 1


def north_from_shadow_deg(row: SunRow) -> float:
    """The turn from the shadow to true north, in (-180, 180], positive to the right."""
    return float(wrap_deg(-row.shadow_bearing_deg))


def card_of(site: Site, day: date) -> SunCard | None:
    """The card of a date; None where the calendar of the place skips it."""
    sun = sun_of_day(site, day)
    if sun is None:
        return None
    table = sun_table(
        day,
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        zone=site.zone_info,
        horizon=site.profile,
        every_min=EVERY_MIN,
    )
    return SunCard(
        site=site.name,
        school=site.school.name,
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
        elevation_m=site.elevation_m,
        zone=site.zone,
        skyline=skyline_words(site.profile.pairs),
        date=day,
        sun=sun,
        rows=tuple(_shown(table)),
        methods=tuple(str(Method(name).label) for name in SUN_METHODS),
        hours=tuple(_hours(site, day)),
        norths=norths_of(site, day),
    )


def _shown(table: list[SunRow]) -> list[SunRow]:
    """From the first row with a shadow to the last, the sun above a flat horizon throughout."""
    seen = [n for n, row in enumerate(table) if not np.isnan(row.shadow_bearing_deg)]
    between = table[seen[0] : seen[-1] + 1] if seen else []
    return [row for row in between if row.elevation_deg > 0.0]


def _hours(site: Site, day: date):
    """Whole hours at which some method with the sun in sight can be used."""
    found = {}
    for name in SUN_METHODS:
        year = method_year(site, name, day.year)
        found[name] = year.cells(day, day)
    some: Cells = next(iter(found.values()))
    for column, instant in enumerate(some.starts[0]):
        if np.isnat(instant):
            continue
        time = local_of(instant, site.zone_info)
        errors = {name: _value(cells.error_deg[0, column]) for name, cells in found.items()}
        in_sight = [error for name, error in errors.items() if name != "first-last"]
        if time.minute == 0 and any(error is not None for error in in_sight):
            yield HourErrors(time, tuple(errors.values()))


def _value(number: float) -> float | None:
    return None if np.isnan(number) else float(number)
