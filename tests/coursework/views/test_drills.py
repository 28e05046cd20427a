"""Drills: planned, read, changed and removed."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coursework.models import Drill
from tests import builders
from tests.assessments import results

pytestmark = pytest.mark.django_db


@pytest.fixture
def drill():
    cohort = builders.cohort()
    site = builders.site(
        school=cohort.course.school, hazards="Loose scree", emergency="Call from the saddle"
    )
    return builders.drill(cohort=cohort, site=site)


@pytest.fixture
def lead(client, drill):
    person = builders.lead(drill.cohort)
    client.force_login(person)
    return person


def page(client, drill) -> str:
    return client.get(reverse("drill-detail", args=[drill.pk])).content.decode()


def fields(drill, **more) -> dict:
    base = {"exercise": drill.exercise_id, "site": drill.site_id, "assessed": "on"}
    return base | {"day": "2026-06-21", "clock": "10:15", "minutes": "90"} | more


def test_the_page_says_when_by_the_clock_of_the_site_where_and_by_which_standard(
    client, drill, lead
):
    content = page(client, drill)
    for words in (
        "Sat 20 June 2026, 09:30–10:30 CEST",
        "Europe/Zurich",
        drill.site.name,
        "Within 15° to either side of true north.",
        "Loose scree",
        "Call from the saddle",
        "Never look at the sun",
    ):
        assert words in content


def test_the_run_sheet_is_that_of_the_day_at_the_site(client):
    site = builders.site(latitude_deg=-43.6, longitude_deg=170.1, zone="Pacific/Auckland")
    morning = datetime(2026, 11, 27, 20, 0, tzinfo=UTC)  # nine o'clock of the 28th there
    drill = builders.drill(cohort=builders.cohort(), site=site, starts_at=morning)
    client.force_login(builders.lead(drill.cohort))
    address = reverse("run-sheet", args=["2026-11-28"])
    assert f'href="{address}"' in page(client, drill)
    assert client.get(address).status_code == 200


def test_instructors_see_the_students_and_the_way_to_log(client, drill, lead):
    student = builders.student(drill.cohort, name="Lena Quist")
    content = page(client, drill)
    assert "Lena Quist" in content
    assert reverse("attempt-log", args=[drill.pk]) + f"?student={student.pk}" in content


def test_students_see_neither_each_other_nor_the_way_to_log(client, drill):
    builders.student(drill.cohort, name="Lena Quist")
    client.force_login(builders.student(drill.cohort))
    content = page(client, drill)
    assert "Lena Quist" not in content
    assert reverse("attempt-log", args=[drill.pk]) not in content


def test_a_cohort_without_students_says_what_to_do_first(client, drill, lead):
    assert "This cohort has no students yet." in page(client, drill)


def test_a_sun_behind_the_skyline_is_said_before_one_walks_there(client, drill, lead):
    drill.site.horizon = "0:55"
    drill.site.save()
    assert "behind the skyline" in page(client, drill)


def test_a_drill_is_planned_in_the_time_of_its_site(client, drill, lead):
    client.post(reverse("drill-add", args=[drill.cohort_id]), fields(drill))
    planned = Drill.objects.exclude(pk=drill.pk).get()
    assert f"{planned.local_start:%Y-%m-%d %H:%M %Z}" == "2026-06-21 10:15 CEST"
    assert (planned.minutes, planned.assessed) == (90, True)


def test_a_drill_needs_an_exercise_first(client):
    cohort = builders.cohort()
    client.force_login(builders.lead(cohort))
    content = client.get(reverse("drill-add", args=[cohort.pk])).content.decode()
    assert "Add an exercise first" in content


def test_a_drill_needs_a_site_too(client):
    cohort = builders.cohort()
    builders.exercise(course=cohort.course)
    client.force_login(builders.lead(cohort))
    content = client.get(reverse("drill-add", args=[cohort.pk])).content.decode()
    assert "Add a site first" in content


def test_a_changed_drill_is_saved(client, drill, lead):
    # Whether results count stays as it was once a drill has begun; this one is to come.
    Drill.objects.update(starts_at=timezone.now() + timedelta(days=30))
    client.post(reverse("drill-edit", args=[drill.pk]), fields(drill, assessed=""))
    drill.refresh_from_db()
    assert f"{drill.local_start:%H:%M}" == "10:15"
    assert drill.assessed is False


def test_a_start_that_does_not_exist_is_refused_and_nothing_is_saved(client, drill, lead):
    typed = fields(drill, day="2026-03-29", clock="02:30")
    response = client.post(reverse("drill-edit", args=[drill.pk]), typed)
    assert "does not exist in Europe/Zurich" in response.content.decode()
    before = drill.starts_at
    drill.refresh_from_db()
    assert drill.starts_at == before


def test_a_drill_without_results_goes_after_asking(client, drill, lead):
    address = reverse("drill-remove", args=[drill.pk])
    client.get(address)
    assert Drill.objects.exists()
    client.post(address)
    assert not Drill.objects.exists()


def test_a_drill_with_results_stays_and_the_page_says_why(client, drill, lead):
    results.attempt(of=drill, by=lead)
    assert client.get(reverse("drill-detail", args=[drill.pk])).context["may_remove"] is False
    page = client.post(reverse("drill-remove", args=[drill.pk]), follow=True)
    assert "Results have been logged there, so it stays" in page.content.decode()
    assert Drill.objects.filter(pk=drill.pk).exists()


def test_a_cohort_with_results_stays_with_all_its_drills(client, drill, lead):
    results.attempt(of=drill, by=lead)
    other = builders.drill(cohort=drill.cohort)
    page = client.post(reverse("cohort-remove", args=[drill.cohort_id]), follow=True)
    assert "Results have been logged there, so it stays" in page.content.decode()
    assert set(Drill.objects.all()) == {drill, other}


def test_a_drill_with_results_keeps_its_site_and_may_change_its_length(client, drill, lead):
    results.attempt(of=drill, by=lead)
    elsewhere = builders.site(school=lead.school)
    client.post(reverse("drill-edit", args=[drill.pk]), fields(drill, site=elsewhere.pk))
    site = drill.site
    drill.refresh_from_db()
    assert (drill.site, drill.minutes) == (site, 90)


def test_the_results_of_a_drill_stand_on_its_page_for_instructors(client, drill, lead):
    student = builders.student(drill.cohort, name="Lena Quist")
    attempt = results.attempt(of=drill, by=lead, student=student)
    assert str(attempt.key) in page(client, drill)
    client.force_login(builders.student(drill.cohort))
    assert str(attempt.key) not in page(client, drill)


def test_a_cancelled_drill_asks_nobody_to_decide_or_to_log(client, drill, lead):
    for name in ("Decide: go or stay", "Field log"):
        assert page(client, drill).count(name) > 0
    drill.cancelled_at = drill.starts_at
    drill.save()
    content = page(client, drill).split("</header>")[1]
    for name in ("Decide: go or stay", "Nobody has decided yet", "Field log", ">Log<"):
        assert name not in content
