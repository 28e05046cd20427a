"""The first page: what there is to do now, by role."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def cohort():
    today = timezone.now().date()
    return builders.cohort(starts_on=today - timedelta(9), ends_on=today + timedelta(9))


def page_for(client, person):
    client.force_login(person)
    return client.get(reverse("home"))


def drill_now(cohort, title, **late):
    exercise = builders.exercise(course=cohort.course, title=title)
    site = builders.site(school=cohort.course.school, zone="UTC")
    starts_at = timezone.now() + timedelta(**late)
    return builders.drill(cohort=cohort, exercise=exercise, site=site, starts_at=starts_at)


def test_an_assistant_sees_todays_drill_with_a_way_to_log(client, cohort):
    drill = drill_now(cohort, "Dawn marks")
    content = page_for(client, builders.assistant(cohort)).content.decode()
    assert "Dawn marks" in content
    assert reverse("attempt-log", args=[drill.pk]) in content


def test_a_lead_sees_the_next_seven_days_and_no_more(client, cohort):
    drill_now(cohort, "In six days", days=6)
    drill_now(cohort, "In eight days", days=8)
    response = page_for(client, builders.lead(cohort))
    assert [drill.exercise.title for drill in response.context["week"]] == ["In six days"]
    assert "In eight days" not in response.content.decode()


def test_a_lead_sees_no_drills_of_cohorts_that_others_lead(client, cohort):
    other = builders.cohort(course=cohort.course)
    drill_now(other, "Not yours")
    assert b"Not yours" not in page_for(client, builders.lead(cohort)).content


def test_a_student_sees_the_next_drill_with_its_standard(client, cohort):
    drill_now(cohort, "Later", days=3)
    drill_now(cohort, "Sooner", days=1)
    drill_now(cohort, "Gone", days=-3)
    response = page_for(client, builders.student(cohort))
    content = response.content.decode()
    assert response.context["next_drill"].exercise.title == "Sooner"
    assert "Within 15° to either side of true north." in content
    assert "Later" not in content


def test_a_student_gets_no_way_to_log(client, cohort):
    drill = drill_now(cohort, "Dawn marks")
    content = page_for(client, builders.student(cohort)).content.decode()
    assert reverse("attempt-log", args=[drill.pk]) not in content


def test_the_cautions_stand_where_a_drill_does(client, cohort):
    student = builders.student(cohort)
    assert "Before you go out" not in page_for(client, student).content.decode()
    drill_now(cohort, "Dawn marks", days=1)
    content = page_for(client, student).content.decode()
    for words in ("Never look at the sun", "Heat:", "Lightning:", "Separation:", "Local rules"):
        assert words in content


def test_a_new_school_is_led_through_its_setting_up(client):
    administrator = builders.administrator()
    assert not any(step.done for step in page_for(client, administrator).context["setup"])
    builders.site(school=administrator.school)
    setup = page_for(client, administrator).context["setup"]
    assert [step.name for step in setup if step.done] == ["site"]


def test_a_school_that_is_set_up_is_not_led_any_more(client, cohort):
    drill_now(cohort, "Dawn marks")
    builders.student(cohort)
    administrator = builders.administrator(school=cohort.course.school)
    assert page_for(client, administrator).context["setup"] == []


def test_a_school_without_students_is_led_to_bringing_them_in(client, cohort):
    drill_now(cohort, "Dawn marks")
    administrator = builders.administrator(school=cohort.course.school)
    page = page_for(client, administrator)
    assert [step.name for step in page.context["setup"] if not step.done] == ["people"]
    assert reverse("roster-import", args=[cohort.pk]) in page.content.decode()


def test_someone_who_assists_here_and_studies_there_sees_both(client, cohort):
    other = builders.cohort(course=cohort.course)
    drill_now(cohort, "To assist")
    drill_now(other, "To study", days=1)
    person = builders.assistant(cohort)
    builders.enrolment(cohort=other, person=person)
    content = page_for(client, person).content.decode()
    assert "To assist" in content
    assert "To study" in content
