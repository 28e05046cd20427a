"""When the check of an instrument is due."""

from datetime import UTC, date, datetime, timedelta

import pytest

from coursework.models import Instrument
from tests import builders

pytestmark = pytest.mark.django_db

CHECKED_ON = date(2026, 1, 10)


@pytest.fixture
def compass():
    return builders.instrument(check_interval_days=30)


def test_an_instrument_never_checked_is_overdue(compass):
    assert compass.is_overdue(CHECKED_ON)
    assert compass.state_on(CHECKED_ON) == {"checked_on": "", "due_on": "", "overdue": True}


@pytest.mark.parametrize(("days", "is_overdue"), [(0, False), (30, False), (31, True)])
def test_it_is_overdue_on_the_day_after_it_was_due(compass, days, is_overdue):
    builders.instrument_check(instrument=compass)
    day = CHECKED_ON + timedelta(days=days)
    assert compass.is_overdue(day) is is_overdue
    assert compass.state_on(day)["overdue"] is is_overdue


def test_a_check_made_later_does_not_make_an_earlier_result_good(compass):
    builders.instrument_check(instrument=compass)
    before = CHECKED_ON - timedelta(days=1)
    assert compass.state_on(before)["overdue"] is True


def test_a_retired_one_is_never_overdue(compass):
    compass.retired_at = datetime(2026, 1, 1, tzinfo=UTC)
    assert not compass.is_overdue(CHECKED_ON)


def test_the_last_of_two_checks_of_one_instant_stands(compass):
    builders.instrument_check(instrument=compass, correction_deg=1.0)
    builders.instrument_check(instrument=compass, correction_deg=2.0)
    assert compass.correction_deg == 2.0


def test_the_most_urgent_stand_first_and_the_retired_last(compass):
    school = compass.school
    builders.instrument_check(instrument=compass)
    later = builders.instrument(school=school, check_interval_days=60)
    builders.instrument_check(instrument=later)
    retired = builders.instrument(school=school, retired_at=datetime(2026, 1, 1, tzinfo=UTC))
    never = builders.instrument(school=school)
    rows = Instrument.objects.filter(school=school).most_urgent_first()
    assert list(rows) == [never, compass, later, retired]


def test_overdue_and_in_time_part_those_in_use(compass):
    builders.instrument_check(instrument=compass)
    never = builders.instrument(school=compass.school)
    of_school = Instrument.objects.filter(school=compass.school)
    assert list(of_school.overdue(CHECKED_ON)) == [never]
    assert list(of_school.checked_in_time(CHECKED_ON)) == [compass]
