"""The school's clock: which day it is, and which day an instant fell on."""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from coursework.models import SchoolSettings
from tests import builders

# Nine in the morning of the 28th in New Zealand, whose clocks are 13 hours ahead then.
MORNING = datetime(2026, 11, 27, 20, 0, tzinfo=UTC)


@pytest.fixture
def lead(monkeypatch):
    """One who leads a course of a school in New Zealand, on that morning."""
    monkeypatch.setattr("django.utils.timezone.now", lambda: MORNING)
    made = builders.lead(builders.cohort(starts_on=date(2026, 11, 1), ends_on=date(2026, 12, 31)))
    SchoolSettings.objects.create(school=made.school, zone="Pacific/Auckland")
    return made


@pytest.mark.django_db
def test_the_day_of_an_instant_is_that_of_the_school(client, lead):
    builders.approval(person=lead, recorded_at=MORNING)
    client.force_login(lead)
    page = client.get(reverse("person-detail", args=[lead.pk])).content.decode()
    assert "28 November 2026" in page and "27 November 2026" not in page


@pytest.mark.django_db
def test_today_is_the_school_s_day(client, lead):
    cohort = lead.enrolments.get().cohort
    builders.exercise(course=cohort.course)
    builders.site(school=lead.school)
    client.force_login(builders.student(cohort))
    page = client.get(reverse("practice-add")).content.decode()
    assert 'value="2026-11-28"' in page


@pytest.mark.django_db
def test_a_cohort_is_over_when_its_last_day_is_over_at_the_school(client, lead):
    over = builders.cohort(
        name="Ended yesterday",
        course=lead.enrolments.get().cohort.course,
        starts_on=date(2026, 11, 1),
        ends_on=date(2026, 11, 27),
    )
    builders.enrolment(cohort=over, person=lead, role="lead")
    client.force_login(lead)
    assert "Ended yesterday" not in client.get(reverse("home")).content.decode()


@pytest.mark.django_db
def test_the_clock_of_one_school_is_gone_with_the_request(client, lead):
    client.force_login(lead)
    client.get(reverse("home"))
    assert timezone.get_current_timezone_name() == "UTC"


@pytest.mark.django_db
def test_someone_of_no_school_has_universal_time(client):
    nobody = builders.person(school=None, is_superuser=True, is_staff=True)
    client.force_login(nobody)
    assert client.get(reverse("home")).status_code == 200
