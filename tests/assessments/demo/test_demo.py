"""The demonstration school: built once, the same every time, with people who err as meant."""

from datetime import timedelta
from io import StringIO
from statistics import mean

import pytest
from django.core.management import call_command

from assessments.demo import PASSWORD, SCHOOL, people
from assessments.field.headcount import who_is_out
from assessments.models import Attempt, FieldDevice, HeadcountEvent, LeadNote, Revision
from assessments.services import recompute_difference
from coursework.models import Cohort, Method, Person, PlannedLesson, Site

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def school(django_db_setup, django_db_blocker):
    """Built once for the module; the tests only read it."""
    from django.db import transaction

    with django_db_blocker.unblock(), transaction.atomic():
        out = StringIO()
        call_command("demo", no_serve=True, stdout=out)
        yield out.getvalue()
        transaction.set_rollback(True)


def own_errors(username, method=None) -> list[float]:
    found = Attempt.objects.filter(student__username=username)
    found = found.exclude(current__own_error_deg=None)  # where a line was laid
    if method:
        found = found.filter(method=method)
    return list(found.values_list("current__own_error_deg", flat=True))


def test_it_has_what_the_demonstration_is_for(school):
    assert Site.objects.filter(latitude_deg__gt=0).exclude(horizon="").exists()
    assert Site.objects.filter(latitude_deg__lt=0).exists()
    assert Cohort.objects.count() == 3
    assert Person.objects.filter(attempts__isnull=False).distinct().count() == 30
    assert Attempt.objects.count() > 300
    assert set(Attempt.objects.values_list("method", flat=True)) == set(Method.values)
    checks = {revision.inputs.get("check") for revision in Revision.objects.all()}
    checks -= {None, ""}  # where no line was laid, or no result came of it
    assert checks == {"compass", "shadow", "landmark", "direct"}
    assert Revision.objects.filter(number=2).exists()
    declared = Revision.objects.exclude(inputs__student_correction_deg="")
    assert declared.count() > 10


def test_lessons_of_these_days_are_planned_one_is_off_and_one_is_held_all_the_same(school):
    planned = PlannedLesson.objects.all()
    assert planned.count() == 6
    assert planned.exclude(cancelled_at=None).count() == 1
    assert planned.exclude(plan_exceptions=None).count() == 1
    assert planned.exclude(groups=None).count() == 2
    today = planned.first().cohort.drills.first().starts_at
    days = sorted((one.starts_at - today).days for one in planned)
    assert -3 < days[0] < 0 < days[-1] < 7


def test_a_drill_is_on_with_two_devices_some_out_one_overdue_and_a_note(school):
    drill = HeadcountEvent.objects.first().drill
    now = drill.starts_at + timedelta(minutes=45)
    out = who_is_out(drill.headcount_events.all())
    assert [one.is_overdue(now) for one in out] == [True, False, False]
    assert FieldDevice.objects.count() == 2
    assert LeadNote.objects.filter(settled_at=None).exists()


def test_it_says_who_signs_in_with_what(school):
    assert SCHOOL in school
    assert PASSWORD in school
    for members in people.INSTRUCTORS.values():
        assert all(username in school for username, _name, _role in members)
    assert Person.objects.get(username=people.ADMIN[0]).check_password(PASSWORD)


def test_a_second_run_changes_nothing_and_says_so(school):
    before = list(Revision.objects.values_list("pk", "own_error_deg"))
    out = StringIO()
    call_command("demo", no_serve=True, stdout=out)
    assert "nothing was changed" in out.getvalue()
    assert list(Revision.objects.values_list("pk", "own_error_deg")) == before


def test_each_result_was_recorded_after_it_was_observed(school):
    for revision in Revision.objects.all():
        assert revision.observed_at < revision.recorded_at


def test_scores_are_those_of_the_engine(school):
    for revision in Revision.objects.order_by("pk")[::40]:
        assert not any(row.is_changed for row in recompute_difference(revision))


def test_who_pulls_to_the_right_does_so_in_the_numbers(school):
    assert mean(own_errors("zofia")) > 4.0
    assert mean(own_errors("oskar")) < -4.0


def test_who_uses_the_declination_wrongly_is_off_by_it(school):
    # The World Magnetic Model gives some 24 degrees east in Otago.
    assert mean(own_errors("wiremu")) == pytest.approx(24.0, abs=4.0)


def test_who_reads_summer_time_wrongly_is_off_by_fifteen_degrees(school):
    assert mean(own_errors("petros", "watch")) == pytest.approx(-15.0, abs=6.0)
    assert mean(own_errors("nadia", "watch")) == pytest.approx(15.0, abs=6.0)


def test_who_swaps_north_and_south_does_so_once(school):
    assert sum(abs(error) > 150.0 for error in own_errors("corentin")) == 1


def test_who_leaves_too_little_time_between_marks_scatters_more(school):
    def scatter(username):
        found = Attempt.objects.filter(student__username=username, method="shadow-tip")
        return mean(found.values_list("current__marking_scatter_deg", flat=True))

    assert scatter("bartek") > 2.0 * scatter("layla")
