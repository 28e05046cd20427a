"""Which dates the views of the calendar show."""

from datetime import date

import pytest

from coursework.calendar_days import Span


@pytest.mark.parametrize(
    ("view", "day", "first", "last", "before", "after"),
    [
        ("agenda", (2026, 9, 22), (2026, 9, 22), (2026, 11, 2), (2026, 8, 11), (2026, 11, 3)),
        ("week", (2026, 9, 22), (2026, 9, 21), (2026, 9, 27), (2026, 9, 14), (2026, 9, 28)),
        ("month", (2026, 9, 22), (2026, 8, 31), (2026, 10, 4), (2026, 8, 1), (2026, 10, 1)),
        ("month", (2026, 12, 31), (2026, 11, 30), (2027, 1, 3), (2026, 11, 1), (2027, 1, 1)),
    ],
)
def test_a_view_shows_whole_weeks_and_turns_to_the_next(view, day, first, last, before, after):
    span = Span.of(view, date(*day))
    assert (span.first, span.last) == (date(*first), date(*last))
    assert (span.before, span.after) == (date(*before), date(*after))


def test_a_month_has_weeks_of_seven_days_and_marks_those_of_other_months():
    weeks = Span.of("month", date(2026, 9, 22)).weeks([])
    assert [len(week) for week in weeks] == [7] * 5
    assert [day.is_in_month for day in weeks[0]] == [False] + [True] * 6
