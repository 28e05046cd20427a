"""Planning, cancelling and taking up drills again, without pages."""

from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from coursework import services
from coursework.conflicts import Plan, conflicts_of_plan
from coursework.models import Drill
from tests import builders

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)
BEFORE = NOON - timedelta(days=9)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


def plan(cohort, lead, **fields):
    named = fields.pop("named", lead)
    drill = Drill(
        cohort=cohort,
        exercise=builders.exercise(course=cohort.course),
        site=builders.site(school=cohort.course.school),
        starts_at=NOON,
        minutes=60,
        lead=named,
    )
    for name, value in fields.items():
        setattr(drill, name, value)
    return Plan(drill=drill, lead=named)


def test_a_plan_that_nothing_speaks_against_is_saved(cohort, lead):
    saved = services.save_drill(lead, plan(cohort, lead), now=BEFORE)
    assert (saved.sequence, saved.changed_at, saved.plan_exceptions.count()) == (0, BEFORE, 0)


def test_one_with_conflicts_is_not_saved_without_a_reason(cohort, lead):
    with pytest.raises(ValidationError, match="Something speaks against"):
        services.save_drill(lead, plan(cohort, lead, named=None), now=BEFORE)
    assert not Drill.objects.exists()


def test_a_reason_holds_for_what_was_shown_and_stays_on_record(cohort, lead):
    planned = plan(cohort, lead, named=None)
    keys = [conflict.key for conflict in conflicts_of_plan(planned)]
    saved = services.save_drill(lead, planned, reason=" Found by then. ", seen=keys, now=BEFORE)
    (kept,) = saved.plan_exceptions.all()
    assert (kept.reason, kept.by, kept.at) == ("Found by then.", lead, BEFORE)
    assert kept.sentence == "Nobody is named to lead it."
    # Saved once more, nothing has to be said again.
    services.save_drill(lead, Plan.of(saved), now=BEFORE)
    assert saved.plan_exceptions.count() == 1


def test_a_reason_does_not_hold_for_what_was_not_shown(cohort, lead):
    planned = plan(cohort, lead, named=None)
    with pytest.raises(ValidationError):
        services.save_drill(lead, planned, reason="Yes", seen=["lead:other"], now=BEFORE)


def test_another_hour_is_another_conflict(cohort, lead):
    night = plan(cohort, lead, starts_at=NOON.replace(hour=2))
    keys = [conflict.key for conflict in conflicts_of_plan(night)]
    saved = services.save_drill(lead, night, reason="A night walk.", seen=keys, now=BEFORE)
    saved.starts_at = NOON.replace(hour=3)
    with pytest.raises(ValidationError):
        services.save_drill(lead, Plan.of(saved), now=BEFORE)


def test_a_drill_that_is_over_is_corrected_without_a_word(cohort, lead):
    services.save_drill(lead, plan(cohort, lead, named=None), now=NOON + timedelta(hours=2))
    assert Drill.objects.exists()


def test_the_number_of_the_calendar_goes_up_with_what_it_shows_only(cohort, lead):
    saved = services.save_drill(lead, plan(cohort, lead), now=BEFORE)
    saved.pinned = True
    services.save_drill(lead, Plan.of(saved), now=BEFORE)
    assert saved.sequence == 0
    saved.starts_at += timedelta(minutes=10)
    services.save_drill(lead, Plan.of(saved), now=BEFORE + timedelta(hours=1))
    assert (saved.sequence, saved.changed_at) == (1, BEFORE + timedelta(hours=1))
    group = builders.group(cohort=cohort)
    services.save_drill(lead, Plan(drill=saved, lead=lead, groups=(group,)), now=BEFORE)
    assert saved.sequence == 2


def test_a_cancelled_drill_stays_and_can_be_taken_up_again(cohort, lead):
    saved = services.save_drill(lead, plan(cohort, lead), now=BEFORE)
    services.cancel_drill(lead, saved, reason="Storm.", now=BEFORE)
    saved.refresh_from_db()
    assert (saved.is_cancelled, saved.cancel_reason, saved.sequence) == (True, "Storm.", 1)
    with pytest.raises(ValidationError, match="cancelled already"):
        services.cancel_drill(lead, saved, reason="Again.", now=BEFORE)
    services.take_up_drill(lead, saved, now=BEFORE)
    saved.refresh_from_db()
    assert (saved.is_cancelled, saved.cancel_reason, saved.sequence) == (False, "", 2)
    with pytest.raises(ValidationError, match="not cancelled"):
        services.take_up_drill(lead, saved, now=BEFORE)


def test_what_is_over_cannot_be_cancelled(cohort, lead):
    saved = services.save_drill(lead, plan(cohort, lead), now=BEFORE)
    with pytest.raises(ValidationError, match="is over"):
        services.cancel_drill(lead, saved, reason="Late.", now=NOON + timedelta(hours=1))


def test_nobody_plans_with_the_people_places_or_groups_of_others(cohort, lead):
    with pytest.raises(PermissionDenied):
        services.save_drill(lead, plan(cohort, builders.person()), now=BEFORE)
    with pytest.raises(PermissionDenied):
        services.save_drill(lead, plan(cohort, lead, site=builders.site()), now=BEFORE)
    other = Plan(drill=plan(cohort, lead).drill, lead=lead, groups=(builders.group(),))
    with pytest.raises(PermissionDenied):
        services.save_drill(lead, other, now=BEFORE)
    with pytest.raises(PermissionDenied):
        services.save_drill(builders.assistant(cohort), plan(cohort, lead), now=BEFORE)


def test_a_group_has_students_of_its_cohort_only(cohort, lead):
    group = builders.group(cohort=cohort)
    student = builders.student(cohort)
    services.save_group(lead, group, [student])
    assert list(group.students.all()) == [student]
    with pytest.raises(PermissionDenied):
        services.save_group(lead, group, [builders.person(school=lead.school)])
