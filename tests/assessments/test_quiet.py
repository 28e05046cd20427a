"""While an assessed drill is on, its students do not see what would answer it at that site."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from assessments import policies, services
from coursework import policies as coursework_policies
from coursework.models import Drill, Role
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db

WHY = "your assessed drill"


@pytest.fixture
def attempt():
    """A result of last year at a site where an assessed drill is on now."""
    attempt = results.attempt(of=results.drill(assessed=False))
    drill = attempt.drill
    builders.drill(
        cohort=drill.cohort,
        exercise=drill.exercise,
        site=drill.site,
        starts_at=timezone.now() - timedelta(minutes=10),
        assessed=True,
    )
    return attempt


@pytest.fixture
def going_on(attempt):
    return Drill.objects.exclude(pk=attempt.drill_id).get()


def page(person, name, *args):
    client = Client()
    client.force_login(person)
    return client.get(reverse(name, args=args))


HIDDEN = ["attempt-detail", "attempt-again", "attempt-sheet", "otherwise"]
PAGES = {
    "attempt-list": lambda attempt: [],
    "record": lambda attempt: [attempt.student_id],
    "drill-detail": lambda attempt: [attempt.drill_id],
    "site-detail": lambda attempt: [attempt.drill.site_id],
    "home": lambda attempt: [],
}


@pytest.mark.parametrize("name", HIDDEN)
def test_a_score_at_that_site_is_refused_with_the_reason(attempt, name):
    response = page(attempt.student, name, attempt.key)
    assert response.status_code == 403
    assert WHY in response.content.decode()


@pytest.mark.parametrize("name", HIDDEN)
def test_whoever_assesses_reads_it_all_the_same(attempt, name):
    assert page(builders.lead(attempt.drill.cohort), name, attempt.key).status_code == 200


@pytest.mark.parametrize("name", ["record-sheet", "exercise-sheet"])
def test_sheets_with_such_scores_are_refused_with_the_reason(attempt, name):
    args = [attempt.student_id]
    if name == "exercise-sheet":
        args.insert(0, attempt.exercise_id)
    response = page(attempt.student, name, *args)
    assert response.status_code == 403
    assert WHY in response.content.decode()


@pytest.mark.parametrize("name", PAGES)
def test_pages_leave_the_scores_out_and_say_why_and_until_when(attempt, going_on, name):
    content = page(attempt.student, name, *PAGES[name](attempt)).content.decode()
    until = going_on.quiet_until.astimezone(going_on.site.zone_info)
    assert f"Hidden until {until:%H:%M %Z}" in content
    assert str(attempt.key) not in content


@pytest.mark.parametrize("name", PAGES)
def test_pages_are_whole_for_others_and_once_it_is_over(attempt, going_on, name):
    args = PAGES[name](attempt)
    assert WHY not in page(builders.lead(attempt.drill.cohort), name, *args).content.decode()
    Drill.objects.filter(pk=going_on.pk).update(starts_at=timezone.now() - timedelta(hours=2))
    content = page(attempt.student, name, *args).content.decode()
    assert WHY not in content
    assert name == "site-detail" or str(attempt.key) in content


@pytest.mark.parametrize("name", ["drill-detail", "site-detail"])
def test_the_suns_place_is_left_out(attempt, going_on, name):
    args = [going_on.pk if name == "drill-detail" else going_on.site_id]
    assert "Sun highest" not in page(attempt.student, name, *args).content.decode()
    Drill.objects.update(assessed=False)
    assert "Sun highest" in page(attempt.student, name, *args).content.decode()


def test_practice_at_that_site_waits(attempt, going_on):
    assert going_on.site not in policies.practice_sites(attempt.student)
    assert not policies.may_practise(attempt.student, attempt.drill)
    with pytest.raises(PermissionDenied):
        services.record_attempt(
            by=attempt.student,
            drill=attempt.drill,
            student=attempt.student,
            observation=results.observation(),
        )


def test_another_site_is_not_hidden(attempt):
    elsewhere = builders.site(school=attempt.drill.site.school)
    assert coursework_policies.quiet_drill(attempt.student, elsewhere) is None


def test_an_assistant_who_studies_in_it_does_not_see_their_own(attempt):
    builders.enrolment(cohort=attempt.drill.cohort, person=attempt.student, role=Role.ASSISTANT)
    assert attempt not in policies.visible_attempts(attempt.student)


def test_those_of_a_group_that_is_not_taken_out_see_everything(attempt, going_on):
    group = builders.group(cohort=attempt.drill.cohort)
    going_on.groups.add(group)
    assert coursework_policies.quiet_drill(attempt.student, going_on.site) is None
    group.students.add(attempt.student)
    assert coursework_policies.quiet_drill(attempt.student, going_on.site) == going_on


@pytest.mark.parametrize(
    ("minutes", "quiet"), [(-31, False), (-30, True), (0, True), (89, True), (90, False)]
)
def test_it_is_quiet_half_an_hour_before_and_after(minutes, quiet):
    drill = builders.drill(starts_at=builders.MIDSUMMER_MORNING, minutes=60)
    now = drill.starts_at + timedelta(minutes=minutes)
    assert Drill.objects.keeping_quiet(now).exists() is quiet


def test_a_cancelled_drill_hides_nothing():
    drill = builders.drill(cancelled_at=builders.MIDSUMMER_MORNING)
    assert not Drill.objects.keeping_quiet(drill.starts_at).exists()
