"""A record that is read in part says what the same record says that is read in full."""

import pytest

from assessments.models import Attempt, Revision
from assessments.records.charts import RecordCharts
from assessments.records.points import lines_of
from assessments.records.reading import measured
from assessments.records.student import SHOWN, TRENDED, StudentRecord
from tests.assessments.records.cohorts import cohort_of

pytestmark = pytest.mark.django_db
LINES = TRENDED + 40
TURNED = (0, 5, 9, 70)


@pytest.fixture
def attempts():
    """More lines than are read in full; some laid end for end, the newest among them."""
    _drill, _lead, members = cohort_of(LINES, students=1)
    found = Attempt.objects.filter(student=members[0])
    numbers = list(found.order_by("-observed_at", "-pk").values_list("current", flat=True))
    turned = [numbers[place] for place in TURNED]
    Revision.objects.filter(pk__in=turned).update(own_error_deg=178.0)
    return found


def test_every_line_is_in_the_sums(attempts):
    part, full = measured(attempts).record, StudentRecord(lines_of(attempts))
    assert len(part.points) < len(part.lines) == LINES
    assert (part.all.own, part.all.result, part.all.method_part) == (
        full.all.own,
        full.all.result,
        full.all.method_part,
    )
    assert part.all.swapped == full.all.swapped == len(TURNED)


@pytest.mark.parametrize("name", ["by_method", "by_time", "by_site", "by_check"])
def test_groups_are_the_same(attempts, name):
    part, full = measured(attempts).record, StudentRecord(lines_of(attempts))

    def told(record):
        return [(one.name, one.own, one.swapped) for one in getattr(record, name)]

    assert told(part) == told(full)


def test_what_is_looked_at_shown_and_drawn_is_the_same(attempts):
    part, full = measured(attempts).record, StudentRecord(lines_of(attempts))
    assert part.points[0] == full.points[0]
    assert part.shown == full.shown
    assert len(part.shown) == SHOWN
    assert part.found == full.found
    assert part.trend == full.trend is not None
    charts, whole = RecordCharts(part), RecordCharts(full)
    assert charts.rose_svg == whole.rose_svg
    assert charts.history_svgs == whole.history_svgs
    assert [one.svg for one in charts.grouped] == [one.svg for one in whole.grouped]


def test_it_takes_three_queries_at_most(attempts, django_assert_max_num_queries):
    with django_assert_max_num_queries(3):
        measured(attempts)
