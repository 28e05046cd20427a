"""Magnetic declination over arrays against one scalar call a place."""

import numpy as np
from pygeomag import GeoMag

from solar.declination import declination
from tests.benchmarks.timing import best_of, ratio, short, show_table
from tests.reference.libraries import random_instants, random_places


def places_at_once() -> None:
    generator, model = np.random.default_rng(3), GeoMag()
    rows = []
    for count in (1, 1_000, 100_000):
        times = random_instants(generator, count, "2025-01-01", "2030-01-01")
        latitude, longitude, height = random_places(generator, count)
        asked = min(count, 1_000)

        def scalar(latitude=latitude, longitude=longitude, asked=asked):
            for i in range(asked):
                model.calculate(latitude[i], longitude[i], 0.3, 2026.5)

        def arrays(times=times, latitude=latitude, longitude=longitude, height=height):
            declination(times, latitude_deg=latitude, longitude_deg=longitude, elevation_m=height)

        ours, theirs = best_of(arrays) / count, best_of(scalar) / asked
        rows.append((f"{count} places", short(ours), short(theirs), ratio(theirs, ours)))
    show_table(
        "Magnetic declination, a place", ("", "solar", "pygeomag, scalar calls", "ratio"), rows
    )
