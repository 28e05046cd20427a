"""A drill's start is typed as the clock at the site shows it."""

from datetime import UTC, datetime

import pytest

from coursework.forms.drills import DrillForm
from coursework.models import Drill, Person, Site
from tests import builders

pytestmark = pytest.mark.django_db


def filled(zone="Europe/Zurich", **typed) -> DrillForm:
    cohort = builders.cohort()
    site = builders.site(school=cohort.course.school, zone=zone)
    data = {
        "exercise": builders.exercise(course=cohort.course).pk,
        "site": site.pk,
        "day": "2026-06-20",
        "clock": "09:30",
        "minutes": "60",
    }
    return DrillForm(
        data | typed,
        instance=Drill(cohort=cohort),
        sites=Site.objects.all(),
        staff=Person.objects.none(),
    )


@pytest.mark.parametrize(
    ("zone", "start"),
    [
        ("Europe/Zurich", datetime(2026, 6, 20, 7, 30, tzinfo=UTC)),
        ("Pacific/Auckland", datetime(2026, 6, 19, 21, 30, tzinfo=UTC)),
        ("Asia/Kathmandu", datetime(2026, 6, 20, 3, 45, tzinfo=UTC)),
        ("UTC", datetime(2026, 6, 20, 9, 30, tzinfo=UTC)),
    ],
)
def test_the_start_is_local_to_the_site(zone, start):
    form = filled(zone)
    assert form.is_valid(), form.errors
    assert form.save().starts_at == start


def test_a_time_that_the_clocks_skip_is_said_to_not_exist():
    # Swiss clocks go from 02:00 to 03:00 on the last Sunday of March.
    form = filled(day="2026-03-29", clock="02:30")
    assert "02:30 on 2026-03-29 does not exist in Europe/Zurich" in form.errors["clock"][0]


def test_a_time_that_the_clocks_show_twice_is_said_to_happen_twice():
    # Swiss clocks go from 03:00 back to 02:00 on the last Sunday of October.
    form = filled(day="2026-10-25", clock="02:30")
    assert "02:30 on 2026-10-25 happens twice in Europe/Zurich" in form.errors["clock"][0]


@pytest.mark.parametrize("clock", ["01:59", "03:00"])
def test_times_beside_the_repeated_hour_are_taken(clock):
    assert filled(day="2026-10-25", clock=clock).is_valid()


@pytest.mark.parametrize(
    ("year", "taken"), [(1989, False), (1990, True), (2050, True), (2051, False)]
)
def test_only_years_that_the_sun_is_computed_for_are_taken(year, taken):
    form = filled(day=f"{year}-06-20")
    assert form.is_valid() is taken
    assert ("day" in form.errors) is not taken


@pytest.mark.parametrize(("minutes", "taken"), [(4, False), (5, True), (1440, True), (1441, False)])
def test_the_length_has_limits(minutes, taken):
    assert filled(minutes=str(minutes)).is_valid() is taken


def test_an_exercise_of_another_course_is_refused():
    assert "exercise" in filled(exercise=builders.exercise().pk).errors


def test_a_drill_opened_again_shows_its_local_start():
    drill = builders.drill()
    form = DrillForm(instance=drill, sites=Site.objects.all(), staff=Person.objects.none())
    assert f"{form.initial['day']} {form.initial['clock']:%H:%M}" == "2026-06-20 09:30"


def test_exercise_and_site_stay_once_there_are_results():
    drill = builders.drill()
    other = builders.exercise(course=drill.cohort.course)
    data = {"exercise": other.pk, "site": drill.site_id, "day": "2026-06-21", "clock": "10:00"}
    form = DrillForm(
        data | {"minutes": "60"},
        instance=drill,
        sites=Site.objects.all(),
        staff=Person.objects.none(),
        results=True,
    )
    kept = drill.exercise
    assert form.is_valid(), form.errors
    assert form.save().exercise == kept


def test_the_same_drill_is_not_planned_twice():
    drill = builders.drill()
    data = {"exercise": drill.exercise_id, "site": drill.site_id, "minutes": "30"}
    data |= {"day": "2026-06-20", "clock": "09:30"}
    form = DrillForm(
        data,
        instance=Drill(cohort=drill.cohort),
        sites=Site.objects.all(),
        staff=Person.objects.none(),
    )
    assert "This drill is planned already" in form.non_field_errors()[0]
    later = DrillForm(
        data | {"clock": "09:31"},
        instance=Drill(cohort=drill.cohort),
        sites=Site.objects.all(),
        staff=Person.objects.none(),
    )
    assert later.is_valid()


def test_a_drill_saved_again_is_not_taken_for_a_second_one():
    drill = builders.drill()
    data = {"exercise": drill.exercise_id, "site": drill.site_id, "minutes": "30"}
    data |= {"day": "2026-06-20", "clock": "09:30"}
    assert DrillForm(
        data, instance=drill, sites=Site.objects.all(), staff=Person.objects.none()
    ).is_valid()
