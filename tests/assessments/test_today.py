"""The first page: what now, by role."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from assessments import today
from coursework.models import Cohort, Drill
from tests import builders
from tests.assessments import results
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


@pytest.fixture
def world():
    found = made.world()
    Cohort.objects.update(ends_on=timezone.now().date() + timedelta(days=30))
    return found


def page(person) -> str:
    client = Client()
    client.force_login(person)
    return client.get(reverse("home")).content.decode()


def queries_of(person) -> int:
    client = Client()
    client.force_login(person)
    client.get(reverse("home"))
    with CaptureQueriesContext(connection) as queries:
        client.get(reverse("home"))
    return len(queries)


def test_a_student_who_has_shown_every_skill_is_nearest_and_the_next_step_is_said(world):
    (near,) = today.near_certification(world.lead)
    assert (near.standing.student, near.shown, near.of) == (world.student, 1, 1)
    assert near.next_step == "Every skill is shown: sign off what is not."


def test_what_is_missing_is_said_skill_by_skill(world):
    other = builders.exercise(course=world.cohort.course, title="Watch face", method="watch")
    made.skill(world.certification, other)
    (near,) = today.near_certification(world.lead)
    (missing,) = near.missing
    assert missing.startswith("Watch face: ")
    assert near.next_step == ""
    assert "1 of 2 skills shown" in page(world.lead)


def test_holders_of_the_certificate_are_not_near_it(world):
    made.issued(world)
    assert today.near_certification(world.lead) == []


def test_a_lead_of_another_cohort_sees_nobody_of_this_one(world):
    assert today.near_certification(world.other_lead) == []


def test_what_lapses_is_told_with_its_last_day_the_first_first(world):
    day = timezone.now().date()
    builders.approval(person=world.assistant, expires_on=day + timedelta(days=20))
    builders.approval(person=world.lead, expires_on=day - timedelta(days=2))
    builders.approval(person=world.administrator, expires_on=day + timedelta(days=90))
    found = today.lapsing(world.lead)
    assert [(one.person, one.is_over) for one in found] == [
        (world.lead, True),
        (world.assistant, False),
    ]


def test_an_instrument_that_was_never_checked_is_told_of(world):
    instrument = builders.instrument(school=world.school)
    (lapse,) = today.lapsing(world.lead)
    assert (lapse.instrument, lapse.day, lapse.is_over) == (instrument, None, True)
    assert "never checked" in page(world.lead)


def test_a_student_sees_the_last_result_with_its_split(world):
    found = page(world.student)
    assert "Your last result" in found
    assert "The method itself was" in found
    assert "One thing to practise" in found


def test_a_student_does_not_see_it_while_an_assessed_drill_is_on_there(world):
    Drill.objects.update(starts_at=timezone.now(), minutes=60, assessed=True)
    assert today.student_now(world.student).attempt is None
    assert "The method itself was" not in page(world.student)


def test_one_thing_to_practise_is_the_first_finding_of_the_record(world):
    for hour in range(6):
        results.attempt(
            of=world.drill, by=world.assistant, student=world.student,
            columns={"reading_deg": str(20 + hour)},
        )  # fmt: skip
    found = today.student_now(world.student)
    assert found.finding is not None
    assert found.finding.change in page(world.student).replace("&#x27;", "'")


def test_a_student_without_results_is_told_what_to_do_first(world):
    assert "No result of yours can be seen yet." in page(world.fellow)


def test_a_lead_sees_what_speaks_against_the_drills_of_the_week(world):
    builders.drill(cohort=world.cohort, starts_at=timezone.now() + timedelta(days=2), lead=None)
    assert "Nobody is named to lead it." in page(world.lead)
    assert "Nobody is named to lead it." not in page(world.assistant)


def test_who_instructs_is_told_what_waits_on_the_device_and_students_are_not(world):
    assert f'id="waits-here" data-person="{world.assistant.pk}"' in page(world.assistant)
    assert "waits-here" not in page(world.student)


@pytest.mark.parametrize("role", ["lead", "assistant", "student", "administrator"])
def test_the_number_of_queries_does_not_grow_with_the_school(world, role):
    def grow(number: int) -> None:
        for n in range(number):
            student = builders.student(world.cohort)
            builders.drill(
                cohort=world.cohort, starts_at=timezone.now() + timedelta(days=1, hours=n)
            )
            results.attempt(of=world.drill, by=world.assistant, student=student)
            results.attempt(of=world.drill, by=world.assistant, student=world.student)
            builders.instrument(school=world.school)
            builders.approval(
                person=builders.assistant(world.cohort),
                expires_on=timezone.now().date() + timedelta(days=9),
            )

    grow(2)
    before = queries_of(getattr(world, role))
    grow(3)
    assert queries_of(getattr(world, role)) == before
