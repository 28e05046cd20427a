"""Conflicts of many drills at once: the same as of each alone, in a fixed number of queries."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from coursework.conflicts import conflicts_of
from coursework.conflicts.week import open_conflicts_of
from coursework.models import PlanException, School
from tests import builders

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)


@pytest.fixture
def cohort():
    return builders.cohort()


def week(cohort, number: int) -> list:
    """Drills that collide, without a lead or with a lapsed approval, some in groups, some early."""
    school = cohort.course.school
    site, far = builders.site(school=school), builders.site(school=school, latitude_deg=47.4)
    lead = builders.lead(cohort)
    eve = (NOON - timedelta(days=1)).date()
    builders.approval(person=lead, issued_on=eve - timedelta(days=365), expires_on=eve)
    students = [builders.student(cohort) for _n in range(9)]
    group = builders.group(*students[:3], cohort=cohort)
    lesson = builders.lesson(course=cohort.course)
    made = []
    for n in range(number):
        exercise = builders.exercise(course=cohort.course)
        exercise.lessons.add(lesson)
        drill = builders.drill(
            cohort=cohort,
            exercise=exercise,
            site=far if n % 3 == 2 else site,
            starts_at=NOON + timedelta(minutes=50 * n),
            lead=None if n % 4 == 3 else lead,
            planned_check="landmark",
        )
        if n % 2:
            drill.groups.add(group)
        made.append(drill)
    return made


def test_each_drill_has_the_conflicts_it_has_alone(cohort):
    drills = week(cohort, 6)
    found = open_conflicts_of(cohort.course.school, drills)
    assert found == {drill.ref: conflicts_of(drill) for drill in drills}
    kinds = {conflict.kind for conflicts in found.values() for conflict in conflicts}
    assert {"person", "group", "lead", "approval", "lesson"} <= kinds


def test_what_somebody_has_taken_on_is_left_out(cohort):
    (drill,) = week(cohort, 1)
    taken, *others = conflicts_of(drill)
    PlanException.objects.create(
        drill=drill,
        key=taken.key,
        sentence=taken.sentence,
        reason="Known.",
        by=drill.lead,
    )
    assert open_conflicts_of(cohort.course.school, [drill])[drill.ref] == others


def test_cancelled_drills_have_none_and_nothing_is_asked_for_none(
    cohort, django_assert_num_queries
):
    drill = builders.drill(cohort=cohort, cancelled_at=NOON)
    with django_assert_num_queries(0):
        assert open_conflicts_of(cohort.course.school, [drill]) == {}


def test_the_number_of_queries_does_not_grow_with_the_drills(cohort):
    drills = week(cohort, 6)
    counts = []
    for some in (drills[:2], drills):
        with CaptureQueriesContext(
            connection,
        ) as queries:
            open_conflicts_of(School.objects.get(pk=cohort.course.school_id), some)
        counts.append(len(queries))
    assert counts[0] == counts[1]
