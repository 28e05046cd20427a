"""What the planner says of the hours at a site, ready for a page or a sheet."""

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from hashlib import sha256

import numpy as np
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from reportlab.graphics.shapes import Drawing

from assessments.forms.planner import Asked
from assessments.sheets.day_lines import day_lines
from assessments.sheets.year_map import PAPER_SHEET, Sheet, legend, year_map
from assessments.sheets.year_picture import Hours, hours_of, picture, png
from coursework.method_year import BLANK, MethodYear, method_year, unpacked
from coursework.wording import first_of_month
from solar.best_hours import Window, good_windows, wrong_windows
from solar.windows import Cells

# A row of the table behind the day's lines.
_TABLE_MIN = 30


@dataclass(frozen=True)
class Reading:
    """One start of the chosen date; degrees, None where there is no value."""

    clock: str
    error_deg: float | None
    scatter_deg: float | None


class PlannedHours:
    """The hours of one site and method for what was asked."""

    def __init__(self, asked: Asked) -> None:
        self.asked = asked

    @cached_property
    def year(self) -> MethodYear:
        asked = self.asked
        return method_year(
            asked.site, asked.method, asked.day.year, interval_min=asked.interval_min
        )

    @cached_property
    def hours(self) -> Hours:
        return hours_of(self.year)

    @cached_property
    def day_cells(self) -> Cells:
        return self.year.cells(self.asked.day, self.asked.day)

    @cached_property
    def good(self) -> list[Window]:
        """Those of the chosen date, the best first; no scatter is None, as in the other lists."""
        return self._listed(good_windows, self.day_cells)

    @cached_property
    def wrong(self) -> list[Window]:
        """The reliably wrong hours of the chosen date, the surest first."""
        return self._listed(wrong_windows, self.day_cells)

    @cached_property
    def best_of_months(self) -> list[Window]:
        """The best of each month that has any, the best first."""
        year = self.asked.day.year
        found = self._listed(good_windows, self.year.cells(date(year, 1, 1), date(year, 12, 31)))
        first_of_month = {}
        for window in found:
            first_of_month.setdefault(window.date.month, window)
        return list(first_of_month.values())

    def _listed(self, windows: Callable[..., list[Window]], cells: Cells) -> list[Window]:
        asked = self.asked
        found = windows(cells, asked.site.zone_info, limit_deg=asked.tolerance_deg)
        return [
            replace(window, scatter_deg=None) if np.isnan(window.scatter_deg) else window
            for window in found
        ]

    @property
    def row(self) -> int | None:
        """The row of the chosen date; None where the zone's calendar skips it."""
        return self.year.grid.row_of(self.asked.day)

    @property
    def has_scatter(self) -> bool:
        """Whether the method is laid through marks."""
        return bool((self.year.scatter != BLANK).any())

    @property
    def readings(self) -> list[Reading]:
        """The chosen date every half an hour, where the method can be used."""
        if self.row is None:
            return []
        grid, found = self.year.grid, []
        minutes = grid.clock_min[self.row].tolist()
        errors = unpacked(self.year.error[self.row]).tolist()
        scatters = unpacked(self.year.scatter[self.row]).tolist()
        for minute, error, scatter in zip(minutes, errors, scatters, strict=True):
            if minute >= 0 and minute % _TABLE_MIN == 0 and error == error:
                clock = f"{minute // 60:02d}:{minute % 60:02d}"
                found.append(Reading(clock, error, scatter if scatter == scatter else None))
        return found

    def map(self, *, href: str = "", printed: bool = False, sheet: Sheet = PAPER_SHEET) -> Drawing:
        return year_map(
            hours=self.hours,
            year=self.asked.day.year,
            day=self.asked.day,
            picture=self.picture() if printed else None,
            href=href,
            sheet=sheet,
        )

    def legend(self, sheet: Sheet = PAPER_SHEET) -> Drawing:
        return legend(self.asked.scale, tolerance_deg=self.asked.tolerance_deg, sheet=sheet)

    def day(self, sheet: Sheet = PAPER_SHEET) -> Drawing | None:
        if self.row is None:
            return None
        return day_lines(
            hours=self.hours,
            clock_min=self.year.grid.clock_min[self.row],
            error_deg=unpacked(self.year.error[self.row]),
            scatter_deg=unpacked(self.year.scatter[self.row]),
            tolerance_deg=self.asked.tolerance_deg,
            sheet=sheet,
        )

    def drawing_words(self) -> dict[str, str]:
        """What map, legend and day's lines show, in one line each."""
        asked = self.asked
        words = {
            "method": asked.method_name,
            "site": asked.site.name,
            "year": asked.day.year,
            "day": asked.day.isoformat(),
        }
        return {
            "map": _("%(method)s at %(site)s in %(year)s: method error by date and time") % words,
            "legend": _("What the tints mean"),
            "day": _("%(method)s at %(site)s on %(day)s: method error and scatter by time") % words,
        }

    def picture(self):
        return picture(self.year, scale=self.asked.scale, tolerance_deg=self.asked.tolerance_deg)

    def png(self) -> bytes:
        return png(self.year, scale=self.asked.scale, tolerance_deg=self.asked.tolerance_deg)

    @property
    def tag(self) -> str:
        """Differs whenever anything that is shown does."""
        asked = self.asked
        facts = [self.year.key, asked.scale.name, asked.tolerance_deg]
        return sha256(json.dumps(facts).encode()).hexdigest()[:20]

    def address(self, name: str, **more: str) -> str:
        """The address of another view of the same hours."""
        query = self.asked.query | more
        return f"{reverse(name, args=[self.asked.site.pk])}?{urlencode(query)}"

    @property
    def picture_address(self) -> str:
        return self.address("planner-map", v=self.tag)

    @property
    def for_script(self) -> dict:
        """What the page's script needs to read a cell: see static/planner.js."""
        grid = self.year.grid
        regular = 10 * np.arange(grid.clock_min.shape[1])
        odd = {}
        for row, minutes in enumerate(grid.clock_min):
            there = minutes >= 0
            if there.sum() != 144 or (minutes[there] != regular[: there.sum()]).any():
                odd[row] = minutes[there].tolist()
        return {
            "values": self.address("planner-values", v=self.year.key),
            "year": grid.year,
            "days": grid.days_in_year,
            "dayNumbers": grid.day_numbers,
            "columns": grid.clock_min.shape[1],
            "oddDays": odd,
            "names": [[at, zone_words(name)] for at, name in grid.names],
            "hours": [self.hours.first, self.hours.last],
            "row": self.row,
            "tolerance": self.asked.tolerance_deg,
            "hasScatter": self.has_scatter,
            "words": {
                "right": _("method error %s to the right"),
                "left": _("method error %s to the left"),
                "none": _("method error %s"),
                "scatter": _("marking scatter %s"),
                "beyond": _("beyond the tolerance"),
                "said_of": _("{name}: {text}"),
                "first_of_month": first_of_month(),
                "blank": _("the method cannot be used at this hour"),
                "loading": _("The values are not here yet."),
                "failed": _("The values could not be fetched: see the day in figures."),
            },
        }


def zone_words(name: str) -> str:
    """A zone's abbreviation; where it has none, its offset as 'UTC+03'."""
    return f"UTC{name}" if name[:1] in "+-" else name
