from datetime import date, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from solar.columns import SUN_METHODS
from solar.horizon import TerrainHorizon
from solar.windows import Place, cells, cells_of, stretches
from tests.solar.rows import scored

ALPS = Place(46.5, 8.0, ZoneInfo("Europe/Zurich"))
ARCTIC = Place(78.2, 15.6, ZoneInfo("Arctic/Longyearbyen"))
SAMOA = Place(-13.8, -171.8, ZoneInfo("Pacific/Apia"))
MAY = date(2026, 5, 10)
JUNE = date(2026, 6, 21)


def of_day(method, place=ALPS, day=MAY, **more):
    return cells(method, place, first=day, last=day, **more)


@pytest.mark.parametrize("method", [name for name in SUN_METHODS if name != "first-last"])
def test_each_cell_is_what_scoring_gives_an_attempt_at_that_time(method):
    found = of_day(method, every_min=60)
    compared = 0
    for start, error, scatter in zip(
        found.starts[0], found.error_deg[0], found.scatter_deg[0], strict=True
    ):
        times = f"{start}Z"
        if method == "shadow-tip":
            times += f";{start + np.timedelta64(15, 'm')}Z"
        result = scored(method=method, times=times, hands="3", lon="8.0")
        assert np.isnan(error) == bool(result["problem"]), (start, result["problem"])
        if not result["problem"]:
            compared += 1
            assert error == pytest.approx(result["method_error_deg"], abs=1e-9)
            if result["marking_scatter_deg"] is not None:
                assert scatter == pytest.approx(result["marking_scatter_deg"], abs=1e-9)
    assert compared >= 6


def test_all_methods_in_one_call_are_the_same_as_one_by_one():
    together = cells_of(SUN_METHODS, ALPS, first=MAY, last=MAY, every_min=60)
    for method in SUN_METHODS:
        alone = of_day(method, every_min=60)
        assert np.array_equal(together[method].error_deg, alone.error_deg, equal_nan=True)


def test_before_the_rise_a_wait_is_for_the_days_two_shadows_and_then_for_the_nights():
    found = of_day("first-last", every_min=60)
    errors = found.error_deg[0]
    day, night = (
        scored(method="first-last", times="", date="2026-05-10", order=order)["method_error_deg"]
        for order in ("day", "night")
    )
    assert errors[0] == pytest.approx(day, abs=1e-4)
    assert errors[12] == pytest.approx(night, abs=1e-4)
    assert np.isnan(errors[23])


def test_stretches_are_the_runs_within_the_limit():
    found = of_day("shadow-tip", day=JUNE)
    runs = stretches(found, ALPS, limit_deg=5.0)
    assert len(runs) == 1
    inside = (found.starts[0] >= np.datetime64(runs[0].start.astimezone(ZoneInfo("UTC")).replace(
        tzinfo=None))) & (found.starts[0] <= np.datetime64(runs[0].end.astimezone(
            ZoneInfo("UTC")).replace(tzinfo=None)))  # fmt: skip
    assert (np.abs(found.error_deg[0]) <= 5.0).tolist() == inside.tolist()
    assert runs[0].start.hour == 12 and runs[0].end.hour in (13, 14)


def test_the_worst_error_of_a_stretch_keeps_its_side_and_its_largest_scatter():
    found = of_day("shadow-tip", day=JUNE)
    run = stretches(found, ALPS, limit_deg=5.0)[0]
    good = np.abs(found.error_deg[0]) <= 5.0
    worst = found.error_deg[0][good]
    assert run.worst_error_deg == worst[np.argmax(np.abs(worst))]
    assert run.scatter_deg == found.scatter_deg[0][good].max()


def test_a_limit_of_180_takes_every_hour_at_which_the_method_works():
    found = of_day("watch")
    runs = stretches(found, ALPS, limit_deg=180.0)
    assert len(runs) == 1
    assert np.isfinite(found.error_deg).sum() == (runs[0].end - runs[0].start) / timedelta(
        minutes=10
    ) + 1  # fmt: skip
    assert np.isnan(runs[0].scatter_deg)


def test_a_limit_that_nothing_meets_gives_no_stretches():
    assert stretches(of_day("watch"), ALPS, limit_deg=0.0) == []


def test_a_longer_interval_scatters_less_and_ends_sooner():
    short, long = (of_day("shadow-tip", interval_min=minutes) for minutes in (10.0, 60.0))
    assert np.nanmin(long.scatter_deg) < np.nanmin(short.scatter_deg)
    assert np.isfinite(long.error_deg).sum() < np.isfinite(short.error_deg).sum()


def test_equal_shadows_need_the_sun_over_the_skyline_at_the_second_mark_too():
    hill = Place(46.5, 8.0, ZoneInfo("Europe/Zurich"),
                 horizon=TerrainHorizon.parse("0:0 215:0 220:60 320:60 330:0"))  # fmt: skip
    open_field, under_it = of_day("equal-shadow"), of_day("equal-shadow", hill)
    assert 0 < np.isfinite(under_it.error_deg).sum() < np.isfinite(open_field.error_deg).sum()
    lost = np.isfinite(open_field.error_deg[0]) & np.isnan(under_it.error_deg[0])
    # What is lost is the early morning, whose counterpart is late in the afternoon.
    assert np.nonzero(lost)[0].max() < np.nonzero(np.isfinite(under_it.error_deg[0]))[0].min()


@pytest.mark.parametrize("method", SUN_METHODS)
def test_in_the_polar_night_nothing_works(method):
    found = of_day(method, ARCTIC, date(2026, 12, 21), every_min=60)
    assert np.isnan(found.error_deg).all()
    assert stretches(found, ARCTIC, limit_deg=180.0) == []


def test_under_the_midnight_sun_there_is_no_first_nor_last_shadow():
    assert np.isnan(of_day("first-last", ARCTIC, JUNE).error_deg).all()


@pytest.mark.parametrize(("day", "count"), [(date(2026, 3, 29), 23), (date(2026, 10, 25), 25)])
def test_days_of_a_change_of_clocks_are_shorter_or_longer(day, count):
    assert of_day("watch", day=day, every_min=60).starts.shape == (1, count)


def test_a_short_day_beside_plain_ones_is_padded_with_nothing():
    found = cells("watch", ALPS, first=date(2026, 3, 28), last=date(2026, 3, 30), every_min=60)
    assert np.isnat(found.starts).sum(axis=1).tolist() == [0, 1, 0]
    assert np.isnan(found.error_deg[1, 23])


@pytest.mark.parametrize("method", SUN_METHODS)
def test_a_date_that_the_zone_skips_is_left_out(method):
    found = cells(method, SAMOA, first=date(2011, 12, 28), last=date(2012, 1, 1), every_min=60)
    assert [day.isoformat() for day in found.dates] == [
        "2011-12-28", "2011-12-29", "2011-12-31", "2012-01-01",
    ]  # fmt: skip


@pytest.mark.parametrize("method", SUN_METHODS)
def test_nothing_but_a_skipped_date_is_no_error(method):
    found = of_day(method, SAMOA, date(2011, 12, 30))
    assert found.dates == []
    assert stretches(found, SAMOA, limit_deg=180.0) == []


def test_the_night_before_a_skipped_date_ends_with_the_next_rise():
    found = of_day("first-last", SAMOA, date(2011, 12, 29), every_min=60)
    assert np.isfinite(found.error_deg[0, 12])


@pytest.mark.parametrize("day", [date(1990, 1, 1), date(2050, 12, 31)])
@pytest.mark.parametrize("method", SUN_METHODS)
def test_the_first_and_the_last_date_have_their_hours(method, day):
    south = Place(-46.5, 8.0, ZoneInfo("Pacific/Kiritimati"))
    assert np.isfinite(of_day(method, south, day).error_deg).any()


def test_the_watch_of_each_hour_is_that_of_the_changed_clocks():
    before, after = (
        of_day("watch", day=day, every_min=60) for day in (date(2026, 3, 28), date(2026, 3, 30))
    )
    # Noon by the sun stays where it was, an hour later on the clock.
    assert np.nanargmin(np.abs(after.error_deg[0])) - np.nanargmin(
        np.abs(before.error_deg[0])
    ) == 1  # fmt: skip
