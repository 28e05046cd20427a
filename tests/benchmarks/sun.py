"""The sun's place: a year of quarter hours at one place, and a handful of scattered points."""

import warnings
from datetime import UTC, datetime

import numpy as np
from pysolar.solar import get_azimuth

from solar.ephemeris import delta_t_s, sun_position
from tests.benchmarks.timing import best_of, best_of_fresh, ratio, short, show_table
from tests.reference.libraries import astropy_sun, pvlib_sun, random_instants, random_places

LATITUDE, LONGITUDE, HEIGHT = 46.5, 8.0, 700.0


def scalar_pysolar_s(calls: int = 500) -> float:
    """Seconds of one scalar pysolar call, for the azimuth alone, its warnings silenced."""
    moments = [datetime(2026, 1 + n % 12, 1 + n % 28, n % 24, tzinfo=UTC) for n in range(calls)]

    def work():
        for moment in moments:
            get_azimuth(LATITUDE, LONGITUDE, moment, HEIGHT)

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return best_of(work) / calls


def year_at_one_place() -> None:
    times = np.arange("2026-01-01", "2027-01-01", np.timedelta64(15, "m"), dtype="datetime64[m]")
    place = {"latitude_deg": LATITUDE, "longitude_deg": LONGITUDE, "elevation_m": HEIGHT}
    delta_t = delta_t_s(times)
    ours = best_of(lambda: sun_position(times, **place)) / times.size
    others = {
        "pvlib, NumPy SPA": best_of(
            lambda: pvlib_sun(times, LATITUDE, LONGITUDE, HEIGHT, delta_t)
        ) / times.size,
        "astropy, arrays": best_of(
            lambda: astropy_sun(times[::20], LATITUDE, LONGITUDE, HEIGHT), times=3
        ) / times[::20].size,
        "pysolar, scalar calls": scalar_pysolar_s(),
    }  # fmt: skip
    rows = [("solar.ephemeris", short(ours), "1")]
    rows += [(name, short(spent), ratio(spent, ours)) for name, spent in others.items()]
    show_table(
        f"A year at one place, every 15 minutes ({times.size} points)",
        ("", "a point", "ratio"),
        rows,
    )


def scattered_points() -> None:
    generator = np.random.default_rng(7)
    rows = []
    for count in (1, 5, 20):
        # Other dates and places at every call: nothing kept from the one before.
        draws = [
            (random_instants(generator, count), *random_places(generator, count))
            for _ in range(200)
        ]

        def ours(draws=draws):
            for times, latitude, longitude, height in draws:
                sun_position(
                    times, latitude_deg=latitude, longitude_deg=longitude, elevation_m=height
                )

        def theirs(draws=draws):
            for times, latitude, longitude, height in draws:
                pvlib_sun(times, latitude, longitude, height, 69.0)

        spent, other = best_of(ours) / len(draws), best_of(theirs) / len(draws)
        rows.append((f"{count} points, warm", short(spent), short(other), ratio(other, spent)))
        rows.extend(_cold(count))
        rows.append(_new_dates(count))
    show_table(
        "A handful of points at scattered dates and places, a call",
        ("", "solar", "pvlib", "ratio"),
        rows,
    )


def _new_dates(count: int) -> tuple[str, str, str, str]:
    """Dates never asked for before, in a process that is warm otherwise."""
    draw = (
        "import numpy as np\n"
        "from tests.reference.libraries import random_instants, random_places\n"
        "def draw(seed):\n"
        "    g = np.random.default_rng(seed)\n"
        f"    return random_instants(g, {count}), *random_places(g, {count})\n"
        "one, two = draw(1), draw(2)\n"
    )
    ours = draw + (
        "from solar.ephemeris import sun_position\n"
        "def ask(p):\n"
        "    sun_position(p[0], latitude_deg=p[1], longitude_deg=p[2], elevation_m=p[3])\n"
        "ask(one)"
    )
    theirs = draw + (
        "from tests.reference.libraries import pvlib_sun\ndef ask(p): pvlib_sun(*p, 69.0)\nask(one)"
    )
    spent, other = (best_of_fresh(setup, "ask(two)")[0] for setup in (ours, theirs))
    return f"{count} points, new dates", short(spent), short(other), ratio(other, spent)


def _cold(count: int) -> list[tuple[str, str, str, str]]:
    """The first call of a fresh process, after the imports and with them."""
    points = (
        "import numpy as np\n"
        "g = np.random.default_rng(1)\n"
        f"t = g.integers(7_000, 29_000, {count}).astype('datetime64[D]').astype('datetime64[us]')\n"
        f"a, o, h = (g.uniform(-60, 60, {count}) for _ in range(3))\n"
    )
    ours = best_of_fresh(
        "from solar.ephemeris import sun_position\n" + points,
        "sun_position(t, latitude_deg=a, longitude_deg=o, elevation_m=h)",
    )
    theirs = best_of_fresh(
        "from pvlib import spa\n" + points + "s = t.astype('int64') / 1e6\n",
        "spa.solar_position(s, a, o, h, 1013.25, 15.0, 69.0, 0.5667)",
    )
    names = ("first call of a process", "the same with the imports")
    return [
        (f"{count} points, {name}", short(our), short(their), ratio(their, our))
        for name, our, their in zip(names, ours, theirs, strict=True)
    ]
