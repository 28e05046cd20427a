"""Cohorts and drills in time."""

from datetime import UTC, date, datetime, timedelta

import pytest

from coursework.models import Cohort, Drill
from tests import builders

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 6, 20, 12, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.mark.parametrize(
    ("today", "stage"),
    [
        (date(2026, 5, 31), "to come"),
        (date(2026, 6, 1), "running"),
        (date(2026, 9, 30), "running"),
        (date(2026, 10, 1), "over"),
    ],
)
def test_a_cohort_runs_from_its_first_to_its_last_day(today, stage):
    assert builders.cohort().stage(today) == stage


def test_cohorts_that_ended_yesterday_are_over_and_those_that_end_today_are_not():
    builders.cohort(ends_on=date(2026, 6, 19))
    last_day = builders.cohort(ends_on=date(2026, 6, 20))
    assert list(Cohort.objects.not_over(date(2026, 6, 20))) == [last_day]


def test_only_students_are_counted_as_students():
    cohort = builders.cohort()
    builders.student(cohort), builders.student(cohort), builders.lead(cohort)
    assert Cohort.objects.with_numbers().get().students == 2


def test_counted_cohorts_keep_their_order():
    old = builders.cohort(starts_on=date(2026, 1, 1))
    new = builders.cohort(starts_on=date(2026, 3, 1))
    assert list(Cohort.objects.with_numbers()) == [new, old]


def test_a_drill_lasts_until_its_last_minute():
    drill = builders.drill(starts_at=NOON, minutes=60)
    assert not drill.is_over(NOON + HOUR - timedelta(seconds=1))
    assert drill.is_over(NOON + HOUR)


def test_a_drill_under_way_is_not_over_and_one_that_has_ended_is():
    under_way = builders.drill(starts_at=NOON - HOUR, minutes=61)
    ended = builders.drill(starts_at=NOON - HOUR, minutes=60)
    later = builders.drill(starts_at=NOON + HOUR)
    assert list(Drill.objects.not_over(NOON)) == [under_way, later]
    assert list(Drill.objects.over(NOON)) == [ended]


def test_a_drill_that_lasts_a_whole_day_is_found_under_way():
    drill = builders.drill(starts_at=NOON - timedelta(minutes=1439), minutes=1440)
    assert list(Drill.objects.not_over(NOON)) == [drill]


def test_today_is_the_date_at_the_site():
    # At noon UTC it is 02:00 of the 21st at Kiritimati and 01:00 of the 20th at Pago Pago.
    ahead = builders.site(zone="Pacific/Kiritimati")
    behind = builders.site(zone="Pacific/Pago_Pago")
    on_21st_ahead = builders.drill(site=ahead, starts_at=NOON + 20 * HOUR)
    on_20th_behind = builders.drill(site=behind, starts_at=NOON + 20 * HOUR)
    builders.drill(site=ahead, starts_at=NOON - 3 * HOUR)  # the 20th there, yesterday
    builders.drill(site=behind, starts_at=NOON - 2 * HOUR)  # the 19th there, yesterday
    assert set(Drill.objects.today(NOON)) == {on_21st_ahead, on_20th_behind}
