"""A server whose clock is set back by a day: what was stored first still counts as first."""

from datetime import timedelta

import pytest
from django.utils import timezone

from assessments.field.sending import receive
from assessments.services import correct_attempt
from coursework.models import Attendance
from coursework.services.attendance import mark_attendance
from tests import builders
from tests.assessments import results
from tests.assessments.field.messages import crew, message, result

pytestmark = pytest.mark.django_db
BACK = timedelta(days=1)


@pytest.fixture
def set_back(monkeypatch):
    """From the call on, the clock says a day less."""
    real = timezone.now

    def by_a_day():
        monkeypatch.setattr(timezone, "now", lambda: real() - BACK)

    return by_a_day


def test_the_last_correction_stands_though_its_hour_is_the_earlier_one(set_back):
    attempt = results.attempt()
    lead = attempt.current.recorded_by
    set_back()
    observation = results.observation(columns={"reading_deg": "351"})
    revision = correct_attempt(by=lead, attempt=attempt, observation=observation, reason="Misread.")
    attempt.refresh_from_db()
    first = attempt.revisions.get(number=1)
    assert revision.recorded_at < first.recorded_at
    assert (attempt.current_id, revision.number) == (revision.pk, 2)


def test_a_result_sent_again_after_the_clock_was_set_back_is_still_one(set_back):
    drill, lead, student = crew()
    item = result(drill, student)
    receive(lead, message(item))
    set_back()
    (answer,) = receive(lead, message(item)).values()
    assert answer["state"] == "already"


def test_the_last_mark_of_attendance_counts_whatever_the_clock_says(set_back):
    cohort = builders.cohort()
    lead, student = builders.lead(cohort), builders.student(cohort)
    lesson = builders.lesson(course=cohort.course)
    mark_attendance(lead, cohort, lesson, {student.pk: True})
    set_back()
    mark_attendance(lead, cohort, lesson, {student.pk: False})
    assert [mark.present for mark in Attendance.objects.standing()] == [False]


def test_whoever_is_signed_in_stays_signed_in(client, set_back):
    client.force_login(builders.student(builders.cohort()))
    set_back()
    assert client.get("/profile/").status_code == 200
