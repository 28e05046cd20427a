"""At which starts an exercise can be held at a site, on which days, and at what cost."""

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from coursework.conflicts.sky import DARK_DEG, LIGHT_LEFT
from coursework.hours_of_drill import EVERY_MIN, INTERVAL, moments_of
from coursework.method_year import place_of
from coursework.models import Exercise, JudgedOn, Method, Site
from coursework.sun import sun_of_day
from solar.best_hours import SCATTERS
from solar.clock import ClockError, resolve_local
from solar.columns import SUN_METHODS
from solar.daylight import clearance_deg
from solar.ephemeris import sun_position
from solar.windows import Cells, cells_of

STEP_MIN = 30
WORST_COST = 60


@dataclass(frozen=True, kw_only=True)
class Hours:
    """Dates from first to last, and the clock hours of each day within which all falls."""

    first: date
    last: date
    begins: time
    ends: time

    def starts(self, zone: ZoneInfo, minutes: int) -> list[datetime]:
        """Every half an hour by the clock of a place; hours that it leaves out are not there."""
        found = []
        for number in range((self.last - self.first).days + 1):
            day = self.first + timedelta(days=number)
            at = datetime.combine(day, self.begins)
            end = datetime.combine(day, self.ends)
            while at + timedelta(minutes=minutes) <= end:
                with contextlib.suppress(ClockError):
                    found.append(resolve_local(at, zone).astimezone(UTC))
                at += timedelta(minutes=STEP_MIN)
        return found


class SiteWindows:
    """The sun at a site over some days, computed once for all exercises."""

    def __init__(self, site: Site, hours: Hours, minutes: int) -> None:
        self.site, self.minutes = site, minutes
        self.starts = hours.starts(site.zone_info, minutes)
        self.cells: dict[str, Cells] = cells_of(
            SUN_METHODS,
            place_of(site),
            first=hours.first,
            last=hours.last,
            every_min=EVERY_MIN,
            interval_min=INTERVAL.total_seconds() / 60.0,
        )
        self._lit = [self._light(at) for at in self.starts]

    def allowed(self, exercise: Exercise) -> dict[datetime, int]:
        """The starts at which nothing of the sky speaks against it, with their cost.

        Cost: |method error| + 2 marking scatters in whole degrees; 0 where neither counts.
        """
        found = {}
        for at, (up, dark, enough) in zip(self.starts, self._lit, strict=True):
            if exercise.is_by_stars:
                if dark and self._has_star(exercise):
                    found[at] = 0
                continue
            lit = up or not exercise.is_by_sun or exercise.method == Method.FIRST_LAST
            if not lit or not (enough or exercise.method == Method.FIRST_LAST):
                continue
            cost = self._cost(exercise, at) if exercise.is_by_sun else 0
            if cost is not None:
                found[at] = cost
        return found

    def _has_star(self, exercise: Exercise) -> bool:
        return (exercise.method == Method.POLE_STAR) == (self.site.latitude_deg > 5.0)

    def _cost(self, exercise: Exercise, at: datetime) -> int | None:
        found = moments_of(
            self.cells[exercise.method], exercise.method, at, at + timedelta(minutes=self.minutes)
        )
        if found.worst_deg is None:
            return None
        if exercise.wants_wrong_hours:
            return 0 if found.is_reliably_beyond(exercise.tolerance) else None
        own = exercise.judged_on == JudgedOn.OWN
        if not own and abs(found.worst_deg) > exercise.tolerance:
            return None
        scatter = np.nan_to_num(found.scatter_deg, nan=0.0).max(initial=0.0)
        error = 0.0 if own else abs(found.worst_deg)
        return min(WORST_COST, round(error + SCATTERS * float(scatter)))

    def _light(self, at: datetime) -> tuple[bool, bool, bool]:
        """Whether the sun is up throughout, whether it is dark, whether light is left after."""
        site, end = self.site, at + timedelta(minutes=self.minutes)
        place = {
            "latitude_deg": site.latitude_deg,
            "longitude_deg": site.longitude_deg,
            "elevation_m": site.elevation_m,
        }
        begin = np.datetime64(at.replace(tzinfo=None), "us")
        steps = [*range(0, self.minutes, EVERY_MIN), self.minutes]
        instants = begin + np.array(steps, dtype="timedelta64[m]")
        up = clearance_deg(instants, **place, horizon=site.profile) >= 0.0
        height = sun_position(instants, **place, refraction=False)[1]
        sun = self._day(at.astimezone(site.zone_info).date())
        enough = sun is None or sun.state == "up all day"
        if sun is not None and sun.state != "down all day" and not enough:
            enough = not sun.sets or sun.sets[-1] >= end + LIGHT_LEFT
        return bool(up.all()), bool(height.max() <= DARK_DEG), enough

    def _day(self, day: date):
        days = self.__dict__.setdefault("_days", {})
        if day not in days:
            days[day] = sun_of_day(self.site, day)
        return days[day]


def windows_of(sites: Sequence[Site], hours: Hours, minutes: int) -> dict[int, SiteWindows]:
    return {site.pk: SiteWindows(site, hours, minutes) for site in sites}
