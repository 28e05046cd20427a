"""The kept year of a method: what is packed, and that an edit never shows old values."""

import csv
from datetime import date
from io import StringIO

import numpy as np
import pytest
from django.core.cache import cache
from django.core.management import call_command

from coursework import method_year as module
from coursework.method_year import BLANK, method_year, packed_error, packed_scatter
from coursework.models import Site
from solar.columns import SUN_METHODS
from solar.year_grid import year_grid

HILLS = "0:14 30:17.5 60:21 85:19 110:15.5 140:11 165:7.5 190:5 215:3.5 240:4 265:8.5 320:15"
LIMIT_DEG = 5.0


@pytest.fixture(autouse=True)
def empty_cache():
    cache.clear()
    yield
    cache.clear()


def hills(**fields) -> Site:
    """In the hills of the southern hemisphere, where the clocks are changed; not stored."""
    defaults = {
        "latitude_deg": -45.03,
        "longitude_deg": 169.29,
        "elevation_m": 0.0,
        "zone": "Pacific/Auckland",
        "horizon": HILLS,
    }
    return Site(**defaults | fields)


def printed_stretches(method: str) -> list[list[str]]:
    out = StringIO()
    call_command(
        "method_windows",
        "--lat=-45.03", "--lon=169.29", "--zone=Pacific/Auckland", f"--horizon={HILLS}",
        "--from=2026-01-01", "--to=2026-12-31", f"--method={method}", f"--limit={LIMIT_DEG}",
        stdout=out,
    )  # fmt: skip
    return list(csv.reader(StringIO(out.getvalue())))[1:]


@pytest.mark.parametrize("method", SUN_METHODS)
def test_the_packed_year_agrees_with_method_windows_cell_by_cell(method):
    """Every cell within the limit is in a printed stretch, and no other; so are the worst ones."""
    year = method_year(hills(), method, 2026)
    grid = year.grid
    good = (np.abs(year.error.astype(int)) <= LIMIT_DEG * 100) & (year.error != BLANK)
    printed = np.zeros_like(good)
    for day, start, end, worst, scatter in printed_stretches(method):
        row = grid.row_of(date.fromisoformat(day))
        first, last = (_column(grid, row, text) for text in (start, end))
        # On a date with an hour twice, the end may be read in the second one.
        assert first <= last
        printed[row, first : last + 1] = True
        found = year.error[row, first : last + 1] / 100.0
        assert np.abs(found).max() == pytest.approx(abs(float(worst)), abs=0.011)
        if scatter:
            scatters = year.scatter[row, first : last + 1] / 100.0
            assert scatters.max() == pytest.approx(min(float(scatter), 327.67), abs=0.0051)
        else:
            assert (year.scatter[row, first : last + 1] == BLANK).all()
    assert good.any()
    assert np.array_equal(printed, good)


def _column(grid, row: int, text: str) -> int:
    """The column of a printed clock time, with or without its offset."""
    clock = grid.clock_min[row].tolist()
    minute = int(text[:2]) * 60 + int(text[3:5])
    if len(text) == 5:
        return clock.index(minute)
    # Hours that come twice are printed with their offset: +13:00 is the first of them here.
    first = clock.index(minute)
    return first if "+13" in text else clock.index(minute, first + 1)


def test_the_clocks_of_the_site_are_changed_in_the_packed_year():
    lengths = (method_year(hills(), "watch", 2026).grid.clock_min >= 0).sum(axis=1)
    assert sorted(set(lengths.tolist())) == [138, 144, 150]


def test_errors_are_rounded_away_from_nought_so_that_a_limit_parts_them_alike():
    errors = np.array([5.0, 5.0000001, -4.9999, -5.001, 0.0, np.nan, 180.0])
    assert packed_error(errors).tolist() == [500, 501, -500, -501, 0, BLANK, 18000]


def test_scatters_beyond_what_can_be_packed_are_held_at_the_largest():
    assert packed_scatter(np.array([0.126, 500.0, np.inf, np.nan])).tolist() == [
        13, 32767, 32767, BLANK,
    ]  # fmt: skip


def test_packed_bytes_are_errors_then_scatters_with_the_lower_byte_first():
    year = method_year(hills(), "shadow-tip", 2026)
    numbers = np.frombuffer(year.packed(), dtype="<i2").reshape(2, *year.error.shape)
    assert np.array_equal(numbers[0], year.error)
    assert np.array_equal(numbers[1], year.scatter)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("latitude_deg", -44.0),
        ("longitude_deg", 168.0),
        ("elevation_m", 900.0),
        ("zone", "Antarctica/Troll"),
        ("horizon", "0:3"),
        ("slope_deg", 10.0),
        ("downhill_deg", 45.0),
    ],
)
def test_an_edited_site_has_another_key(field, value):
    before = method_year(hills(), "shadow-tip", 2026)
    assert method_year(hills(**{field: value}), "shadow-tip", 2026).key != before.key


def test_an_edited_site_shows_its_new_values_at_once():
    method_year(hills(), "shadow-tip", 2026)
    moved = method_year(hills(latitude_deg=-30.0), "shadow-tip", 2026)
    cache.clear()
    fresh = method_year(hills(latitude_deg=-30.0), "shadow-tip", 2026)
    assert np.array_equal(moved.error, fresh.error)


def test_one_look_keeps_all_methods(monkeypatch):
    method_year(hills(), "shadow-tip", 2026)
    monkeypatch.setattr(module, "cells_of", None)
    for method in SUN_METHODS:
        assert method_year(hills(), method, 2026).error.shape == (365, 150)


def test_another_interval_computes_the_shadow_tip_alone(monkeypatch):
    method_year(hills(), "watch", 2026)
    asked, cells_of = [], module.cells_of

    def spy(methods, *args, **kwargs):
        asked.append(list(methods))
        return cells_of(methods, *args, **kwargs)

    monkeypatch.setattr(module, "cells_of", spy)
    longer = method_year(hills(), "shadow-tip", 2026, interval_min=40.0)
    assert asked == [["shadow-tip"]]
    assert longer.key != method_year(hills(), "shadow-tip", 2026).key


def test_no_date_gives_no_cells():
    year = method_year(hills(), "watch", 2026)
    assert year.cells(date(2025, 1, 1), date(2025, 1, 2)).dates == []


def test_the_grid_of_the_cells_is_the_one_of_the_year():
    year = method_year(hills(), "watch", 2026)
    assert year.grid is year_grid(hills().zone_info, 2026)
