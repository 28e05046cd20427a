"""A year of hours for the planner: all methods' cells beside the bare places of the sun."""

from datetime import date
from zoneinfo import ZoneInfo

import numpy as np

from solar.columns import SUN_METHODS
from solar.ephemeris import delta_t_s
from solar.horizon import TerrainHorizon
from solar.windows import Place, cells_of
from solar.year_grid import year_grid
from tests.benchmarks.timing import best_of, ratio, short, show_table
from tests.reference.libraries import pvlib_sun

ZONE = ZoneInfo("Europe/Zurich")
SKYLINES = {"flat": "", "over a skyline": "0:14 60:21 85:19 140:11 190:5 240:4 290:12 320:15"}


def year_of_all_methods() -> None:
    """Every ten minutes; pvlib gives azimuth and elevation at the same instants, no more."""
    rows = []
    starts = year_grid(ZONE, 2026).starts
    instants = starts[~np.isnat(starts)]
    delta_t = delta_t_s(instants)
    for name, skyline in SKYLINES.items():
        place = Place(46.72, 8.18, ZONE, 1050.0, TerrainHorizon.parse(skyline))

        def ours(place=place):
            cells_of(SUN_METHODS, place, first=date(2026, 1, 1), last=date(2026, 12, 31))

        spent = best_of(ours)
        other = best_of(lambda: pvlib_sun(instants, 46.72, 8.18, 1050.0, delta_t))
        rows.append((name, short(spent), short(other), ratio(other, spent)))
    show_table(
        f"A year of starts, six methods ({instants.size} starts)",
        ("", "cells_of, all methods", "pvlib, NumPy SPA, places only", "ratio"),
        rows,
    )
