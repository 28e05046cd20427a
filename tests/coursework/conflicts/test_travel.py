"""The way between two drills at different sites, of staff and of students."""

from datetime import UTC, datetime, timedelta

import pytest

from coursework.conflicts import conflicts_of
from coursework.models import SchoolSettings
from tests import builders

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)
# 0.036 degrees of latitude are 4.0 km: an hour on foot at the usual speed.
HERE_DEG, THERE_DEG = 46.72, 46.756


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort, name="Ida")


@pytest.fixture
def here(cohort):
    return builders.site(school=cohort.course.school, latitude_deg=HERE_DEG)


@pytest.fixture
def there(cohort):
    return builders.site(school=cohort.course.school, latitude_deg=THERE_DEG, name="Ridge")


def drill(cohort, site, lead, *, after_min=0, **fields):
    at = NOON + timedelta(minutes=after_min)
    return builders.drill(cohort=cohort, site=site, lead=lead, minutes=60, starts_at=at, **fields)


def kinds(of) -> list[str]:
    return [conflict.kind for conflict in conflicts_of(of)]


@pytest.mark.parametrize(("after_min", "found"), [(119, ["way"]), (120, [])])
def test_the_lead_needs_the_time_of_the_way_before_the_next_drill(
    cohort, lead, here, there, after_min, found
):
    drill(cohort, there, lead, after_min=after_min)
    assert kinds(drill(builders.cohort(school=here.school), here, lead)) == found


def test_also_after_the_one_before_and_it_says_how_far_it_is(cohort, lead, here, there):
    drill(cohort, there, lead, after_min=-90)
    (found,) = conflicts_of(drill(builders.cohort(school=here.school), here, lead))
    assert found.sentence.startswith("Ida: at “")
    assert "with 30 min in between. The way of 4.0 km takes 1 h, at 4 km/h" in (found.sentence)


def test_students_need_it_as_well_and_their_group_is_named(cohort, here, there):
    group = builders.group(builders.student(cohort), cohort=cohort, name="Larch")
    for site, after_min in ((there, 90), (here, 0)):
        made = drill(cohort, site, builders.lead(cohort), after_min=after_min)
        made.groups.add(group)
    (found,) = conflicts_of(made)
    assert found.kind == "way"
    assert found.sentence.startswith("Larch: at “")


def test_a_school_that_drives_says_so_in_its_settings(cohort, lead, here, there):
    drill(cohort, there, lead, after_min=75)
    SchoolSettings.objects.create(school=here.school, travel_kmh=20.0)
    assert kinds(drill(builders.cohort(school=here.school), here, lead)) == []


def test_at_one_site_there_is_no_way(cohort, lead, here):
    drill(cohort, here, lead, after_min=60)
    assert kinds(drill(builders.cohort(school=here.school), here, lead)) == []
