from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from coursework.hours_of_drill import ErrorOfDrill

START = datetime(2026, 11, 27, 11, tzinfo=UTC)


def error_of(error_deg, scatter_deg):
    moments = tuple(START + timedelta(minutes=5 * n) for n in range(len(error_deg)))
    return ErrorOfDrill(moments, np.array(error_deg), np.array(scatter_deg))


def test_the_least_sure_moment_is_where_error_less_twice_the_scatter_is_least():
    found = error_of([-9.0, np.nan, -11.0], [0.5, np.nan, 2.0])
    # 9 less 1 is 8, 11 less 4 is 7.
    assert found.least_sure == (START + timedelta(minutes=10), -11.0, 4.0)


def test_a_method_without_marks_has_no_spread():
    assert error_of([12.0, 10.0], [np.nan, np.nan]).least_sure == (
        START + timedelta(minutes=5), 10.0, 0.0,
    )  # fmt: skip


@pytest.mark.parametrize(("limit_deg", "is_beyond"), [(6.9, True), (7.0, False)])
def test_beyond_a_limit_is_reliable_only_where_careful_marks_leave_it_so(limit_deg, is_beyond):
    assert error_of([-9.0, -11.0], [0.5, 2.0]).is_reliably_beyond(limit_deg) is is_beyond


def test_a_method_that_cannot_be_used_has_no_moment():
    assert error_of([np.nan], [np.nan]).least_sure is None
