"""What speaks against a planned drill, one kind after the other."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.utils import timezone

from coursework.conflicts import conflicts_of
from coursework.models import Attendance, Method, Role, SchoolSettings
from tests import builders

pytestmark = pytest.mark.django_db
# Local noon of the default site is about 13:28 by its clock in summer.
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


@pytest.fixture
def site(cohort):
    return builders.site(school=cohort.course.school)


def planned(cohort, site, lead, **fields):
    """An hour about noon at the equinox, when the shadow-tip line is good."""
    of = {"starts_at": NOON, "minutes": 60, "lead": lead}
    return builders.drill(cohort=cohort, site=site, **of | fields)


def kinds(drill) -> list[str]:
    return [conflict.kind for conflict in conflicts_of(drill)]


def exercise(cohort, **fields):
    return builders.exercise(course=cohort.course, **fields)


def test_a_drill_at_a_good_hour_with_a_lead_has_none(cohort, site, lead):
    builders.student(cohort)
    assert conflicts_of(planned(cohort, site, lead)) == []


def test_someone_who_is_elsewhere_is_named_with_where_and_when(cohort, site, lead):
    other = builders.cohort(school=cohort.course.school)
    builders.drill(
        cohort=other,
        site=builders.site(school=cohort.course.school, name="Ridge"),
        starts_at=NOON + timedelta(minutes=59),
        lead=lead,
        exercise=builders.exercise(course=other.course, title="Watch"),
    )
    (found,) = conflicts_of(planned(cohort, site, lead))
    assert found.sentence == (f"{lead.name} is at “Watch” (Ridge, 13:59–14:59) at the same time.")


@pytest.mark.parametrize("minutes", [-60, 60])
def test_drills_that_only_touch_are_no_conflict(cohort, site, lead, minutes):
    planned(cohort, site, lead, starts_at=NOON + timedelta(minutes=minutes))
    assert kinds(planned(cohort, site, lead)) == []


def test_a_cancelled_drill_books_nobody(cohort, site, lead):
    planned(cohort, site, lead, cancelled_at=timezone.now())
    assert kinds(planned(cohort, site, lead)) == []


def test_an_assistant_is_booked_as_well_as_a_lead(cohort, site, lead):
    other = planned(cohort, builders.site(school=site.school), builders.lead(builders.cohort()))
    other.assistants.add(lead)
    assert "person" in kinds(planned(cohort, site, lead))


def test_two_groups_may_be_out_at_once_and_one_group_not_twice(cohort, lead):
    first = builders.group(builders.student(cohort), cohort=cohort)
    second = builders.group(builders.student(cohort), cohort=cohort)
    other = planned(cohort, builders.site(school=cohort.course.school), None)
    other.groups.add(first)
    drill = planned(cohort, builders.site(school=cohort.course.school), lead)
    drill.groups.add(second)
    assert kinds(drill) == []
    drill.groups.add(first)
    (found,) = conflicts_of(drill)
    assert found.kind == "group"
    assert found.sentence.startswith(f"{first.name}: at “")


def test_a_student_of_two_cohorts_cannot_be_at_two_drills(cohort, site, lead):
    other = builders.cohort(school=cohort.course.school)
    builders.enrolment(cohort=other, person=builders.student(cohort))
    planned(other, builders.site(school=site.school), None)
    (found,) = conflicts_of(planned(cohort, site, lead))
    assert found.sentence.startswith("1 student is at “")


def test_a_site_has_room_for_as_many_drills_as_it_says(cohort, site, lead):
    other = builders.cohort(school=cohort.course.school)
    planned(other, site, None)
    drill = planned(cohort, site, lead)
    assert kinds(drill) == ["site"]
    site.drills_at_once = 2
    assert kinds(drill) == []


def test_the_limit_of_students_for_one_instructor_is_the_sites(cohort, lead):
    site = builders.site(school=cohort.course.school, students_per_instructor=2)
    drill = planned(cohort, site, lead)
    for number in (2, 3):
        while cohort.enrolments.filter(role=Role.STUDENT).count() < number:
            builders.student(cohort)
        assert kinds(drill) == (["ratio"] if number == 3 else [])
    drill.assistants.add(builders.assistant(cohort))
    assert kinds(drill) == []


def test_where_the_site_has_no_limit_the_schools_holds(cohort, site, lead):
    SchoolSettings.objects.create(school=site.school, students_per_instructor=1)
    builders.student(cohort)
    builders.student(cohort)
    assert kinds(planned(cohort, site, lead)) == ["ratio"]


def test_a_drill_that_nobody_leads_says_so(cohort, site):
    assert kinds(planned(cohort, site, None)) == ["lead"]


def test_the_sun_has_to_be_up_where_it_is_needed(cohort, site, lead):
    early = planned(cohort, site, lead, starts_at=NOON.replace(hour=4))
    assert "light" in kinds(early)


def test_travel_needs_light_to_come_back_by_and_no_sun(cohort, site, lead):
    pacing = exercise(cohort, method=Method.PACE_COUNT, tolerance=10.0)
    # The sun sets at about 19:25 by the clock there.
    late = planned(cohort, site, lead, exercise=pacing, starts_at=NOON.replace(hour=16))
    (found,) = conflicts_of(late)
    assert found.kind == "dusk"
    assert "30 minutes of light should be left" in found.sentence
    earlier = planned(cohort, site, lead, exercise=pacing, starts_at=NOON.replace(hour=15))
    assert kinds(earlier) == []


def test_stars_need_the_dark(cohort, site, lead):
    star = exercise(cohort, method=Method.POLE_STAR)
    assert kinds(planned(cohort, site, lead, exercise=star)) == ["dark"]
    night = planned(cohort, site, lead, exercise=star, starts_at=NOON.replace(hour=20))
    assert kinds(night) == []


def test_the_pole_star_is_of_no_use_in_the_south(cohort, lead):
    south = builders.site(school=cohort.course.school, latitude_deg=-45.0)
    star = exercise(cohort, method=Method.POLE_STAR)
    night = planned(cohort, south, lead, exercise=star, starts_at=NOON.replace(hour=20))
    assert kinds(night) == ["stars"]


def test_a_midsummer_morning_is_no_hour_for_a_shadow_tip_line(cohort, site, lead):
    drill = planned(cohort, site, lead, starts_at=builders.MIDSUMMER_MORNING)
    (found,) = conflicts_of(drill)
    assert found.kind == "method"
    assert "to the left at 09:" in found.sentence
    assert found.sentence.endswith("the tolerance is 15°.")


def test_but_one_for_an_exercise_that_teaches_the_limits(cohort, site, lead):
    limits = exercise(cohort, wants_wrong_hours=True)
    morning = planned(
        cohort, site, lead, exercise=limits, starts_at=builders.MIDSUMMER_MORNING, minutes=30
    )
    assert kinds(morning) == []
    noon = planned(cohort, site, lead, exercise=limits)
    (found,) = conflicts_of(noon)
    assert "reliably wrong" in found.sentence
    assert "which careful marks change by up to" in found.sentence


def test_where_the_own_error_is_judged_the_methods_does_not_matter(cohort, site, lead):
    own = exercise(cohort, judged_on="own")
    at = builders.MIDSUMMER_MORNING
    assert kinds(planned(cohort, site, lead, exercise=own, starts_at=at)) == []


def test_a_check_that_can_never_decide_is_said_before_the_drill(cohort, site, lead):
    narrow = exercise(cohort, tolerance=2.8)
    drill = planned(cohort, site, lead, exercise=narrow, planned_check="compass")
    assert "compass ±3." in next(c.sentence for c in conflicts_of(drill) if c.kind == "check")
    drill.planned_check = "shadow"
    assert "check" not in kinds(drill)
    narrow.rule, drill.planned_check = "plain", "compass"
    narrow.save()
    assert "check" not in kinds(type(drill).objects.get(pk=drill.pk))


@pytest.mark.parametrize(
    ("first", "last", "found"),
    [(22, 22, []), (23, 30, ["dates"]), (1, 21, ["dates"])],
)
def test_a_day_outside_of_the_cohort_s_dates_is_said(cohort, site, lead, first, last, found):
    cohort.starts_on, cohort.ends_on = date(2026, 9, first), date(2026, 9, last)
    cohort.save()
    assert kinds(planned(cohort, site, lead)) == found


def test_a_mark_to_check_by_has_to_be_there(cohort, site, lead):
    drill = planned(cohort, site, lead, planned_check="landmark")
    assert kinds(drill) == ["check"]
    builders.mark(site=site)
    assert kinds(drill) == []


def test_the_best_known_of_the_marks_says_what_a_check_can_decide(cohort, site, lead):
    narrow = exercise(cohort, tolerance=2.2)
    builders.mark(site=site, bearing_u_deg=2.5)
    drill = planned(cohort, site, lead, exercise=narrow, planned_check="landmark")
    assert kinds(drill) == ["check"]
    builders.mark(site=site, bearing_u_deg=0.1)
    assert kinds(type(drill).objects.get(pk=drill.pk)) == []


def test_lessons_that_come_before_have_to_be_held_and_those_before_them(cohort, site, lead):
    first = builders.lesson(course=cohort.course, title="The sun")
    second = builders.lesson(course=cohort.course, title="The stick", position=2)
    second.prerequisites.add(first)
    drill = planned(cohort, site, lead)
    drill.exercise.lessons.add(second)
    (found,) = conflicts_of(drill)
    assert found.sentence == "Not held with this cohort yet: The sun, The stick."
    student = builders.student(cohort)
    for lesson in (first, second):
        Attendance.objects.create(
            cohort=cohort,
            lesson=lesson,
            lesson_key=lesson.key,
            person=student,
            present=True,
            marked_by=lead,
        )
    assert kinds(drill) == []


@pytest.mark.parametrize(("last", "found"), [(21, ["approval"]), (22, [])])
def test_an_approval_holds_on_its_last_day_and_not_after(cohort, site, lead, last, found):
    builders.approval(person=lead, issued_on=date(2025, 1, 1), expires_on=date(2026, 9, last))
    assert kinds(planned(cohort, site, lead)) == found


@pytest.mark.parametrize(("heat", "found"), [(27.9, []), (28.0, ["heat"])])
def test_the_heat_that_the_lead_expects_is_held_to_the_schools_limits(
    cohort, site, lead, heat, found
):
    SchoolSettings.objects.create(school=site.school, heat_care=28.0)
    assert kinds(planned(cohort, site, lead, heat_expected=heat)) == found


def test_the_number_of_queries_depends_on_nothing(cohort, lead, django_assert_num_queries):
    site = builders.site(school=cohort.course.school, drills_at_once=20)
    drill = planned(cohort, site, lead, planned_check="compass")
    for _number in range(3):
        other = builders.cohort(school=site.school)
        builders.student(other)
        made = planned(other, site, builders.lead(other))
        made.groups.add(builders.group(builders.student(other), cohort=other))
        made.assistants.add(builders.assistant(other))
    drill = (
        type(drill)
        .objects.select_related("exercise", "site__school", "cohort__course", "lead")
        .get(pk=drill.pk)
    )
    with django_assert_num_queries(11):
        conflicts_of(drill)


def test_the_same_plan_has_the_same_keys_however_its_start_is_given(cohort, site):
    drill = planned(cohort, site, None, starts_at=NOON.replace(hour=2))
    in_utc = [conflict.key for conflict in conflicts_of(drill)]
    drill.starts_at = drill.local_start
    assert [conflict.key for conflict in conflicts_of(drill)] == in_utc
    assert len(in_utc) > 2
