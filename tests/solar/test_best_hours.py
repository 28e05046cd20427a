"""Good and reliably wrong hours of made-up values, ranked by hand."""

from datetime import date
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from solar.best_hours import good_windows, wrong_windows
from solar.windows import Cells

ROME = ZoneInfo("Europe/Rome")
NAN = np.nan


def cells(error, scatter):
    """One date in July, starts every ten minutes from 08:00 (06:00 UTC)."""
    first = np.datetime64("2026-07-01T06:00", "us")
    starts = first + np.arange(len(error)) * np.timedelta64(10, "m")
    rows = (np.array([values], dtype=float) for values in (error, scatter))
    return Cells([date(2026, 7, 1)], starts[None, :], *rows)


def clock(moment):
    return f"{moment:%H:%M}"


def test_a_window_is_known_by_its_best_start():
    found = cells([-4.0, -2.0, 1.0, 6.0], [0.5, 0.5, 3.0, 0.5])
    (window,) = good_windows(found, ROME, limit_deg=5.0)
    assert (clock(window.start), clock(window.end)) == ("08:00", "08:20")
    # 2 + 2 x 0.5 is less than 1 + 2 x 3: the smallest error is not the best line.
    assert (clock(window.at), window.error_deg, window.rank_deg) == ("08:10", -2.0, 3.0)
    assert window.largest_deg == -4.0


def test_windows_are_ranked_by_error_and_twice_the_scatter():
    found = cells([2.0, NAN, 1.0, NAN, 3.0], [0.1, NAN, 2.0, NAN, 0.1])
    ranked = good_windows(found, ROME, limit_deg=5.0)
    assert [clock(window.at) for window in ranked] == ["08:00", "08:40", "08:20"]
    assert [window.rank_deg for window in ranked] == pytest.approx([2.2, 3.2, 5.0])


def test_methods_without_marks_are_ranked_by_their_error_alone():
    found = cells([3.0, NAN, -1.0], [NAN, NAN, NAN])
    ranked = good_windows(found, ROME, limit_deg=5.0)
    assert [window.rank_deg for window in ranked] == [1.0, 3.0]
    assert all(np.isnan(window.scatter_deg) for window in ranked)


def test_an_error_at_the_limit_is_still_good():
    found = cells([5.0, 5.01], [0.0, 0.0])
    (window,) = good_windows(found, ROME, limit_deg=5.0)
    assert clock(window.end) == "08:00"


def test_wrong_hours_stay_wrong_with_two_scatters_to_the_better_side():
    found = cells([20.0, 9.0, 30.0, -40.0], [1.0, 2.5, 0.5, 1.0])
    first, second = wrong_windows(found, ROME, limit_deg=5.0)
    assert (clock(first.at), first.rank_deg) == ("08:30", 38.0)
    assert (clock(first.start), clock(second.start)) == ("08:20", "08:00")


def test_where_nothing_is_wrong_there_is_no_window():
    assert wrong_windows(cells([1.0, NAN], [1.0, NAN]), ROME, limit_deg=5.0) == []
