"""What speaks against a planned lesson, and what planned lessons are to drills."""

from datetime import UTC, date, datetime, timedelta

import pytest

from coursework.conflicts import conflicts_of, plan_of
from coursework.conflicts.beside import beside
from coursework.conflicts.week import open_conflicts_of
from coursework.models import Approval, Attendance
from tests import builders

pytestmark = pytest.mark.django_db
# Noon of the default site is about 13:28 by its clock in summer.
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


@pytest.fixture
def site(cohort):
    return builders.site(school=cohort.course.school)


def lesson(cohort, lead, **fields):
    return builders.planned_lesson(cohort=cohort, **{"starts_at": NOON, "lead": lead} | fields)


def drill(cohort, site, lead, **fields):
    of = {"starts_at": NOON, "lead": lead, "site": site}
    return builders.drill(cohort=cohort, **of | fields)


def kinds(booking) -> list[str]:
    return [conflict.kind for conflict in conflicts_of(booking)]


def test_a_lesson_indoors_with_a_lead_has_none_whatever_the_hour(cohort, lead):
    for _number in range(30):
        builders.student(cohort)
    for hour in (11, 22, 3):
        assert kinds(lesson(cohort, lead, starts_at=NOON.replace(hour=hour))) == []


def test_nobody_leads_it(cohort):
    assert kinds(lesson(cohort, None)) == ["lead"]


def test_people_groups_and_the_site_are_wanted_by_a_drill_at_the_same_time(cohort, site, lead):
    builders.student(cohort)
    drill(cohort, site, lead, exercise=builders.exercise(course=cohort.course, title="Watch"))
    found = conflicts_of(lesson(cohort, lead, site=site))
    assert [one.kind for one in found] == ["person", "group", "site"]
    assert "“Watch”" in found[0].sentence
    assert "room for 1 drill or lesson at a time: “Watch” (13:00–14:00)" in found[2].sentence


def test_a_drill_meets_the_lesson_that_its_people_are_at(cohort, site, lead):
    builders.student(cohort)
    plan = builders.lesson(course=cohort.course, title="The sun")
    lesson(cohort, lead, lesson=plan, place="School room")
    found = conflicts_of(drill(cohort, site, lead))
    assert [one.kind for one in found] == ["person", "group"]
    assert "is at “The sun” (School room, 13:00–14:00)" in found[0].sentence


def test_two_lessons_meet_and_groups_apart_do_not(cohort, lead):
    groups = [builders.group(builders.student(cohort), cohort=cohort) for _n in range(2)]
    first, second = (lesson(cohort, builders.lead(cohort)) for _n in range(2))
    assert kinds(first) == ["group"]
    first.groups.set(groups[:1])
    second.groups.set(groups[1:])
    assert kinds(first) == kinds(second) == []


def test_a_cancelled_one_speaks_against_nothing_and_touching_is_no_meeting(cohort, site, lead):
    lesson(cohort, lead, cancelled_at=NOON)
    lesson(cohort, lead, starts_at=NOON - HOUR)
    assert kinds(drill(cohort, site, lead)) == []


def test_the_way_from_a_lesson_at_another_site_counts_and_from_indoors_none_is_known(
    cohort, site, lead
):
    far = builders.site(school=site.school, latitude_deg=46.80)
    made = lesson(cohort, lead, site=far, starts_at=NOON - HOUR)
    after = drill(cohort, site, lead)
    assert kinds(after) == ["way"]
    made.site, made.place = None, "Hut"
    made.save()
    assert kinds(after) == []


def test_the_ratio_counts_at_a_site_only(cohort, site, lead):
    site.students_per_instructor = 1
    site.save()
    for _number in range(2):
        builders.student(cohort)
    assert kinds(lesson(cohort, lead, site=site)) == ["ratio"]
    assert kinds(lesson(cohort, lead, starts_at=NOON + 24 * HOUR)) == []


def test_first_aid_that_has_lapsed_counts_out_at_a_site(cohort, site, lead):
    builders.approval(person=lead, kind=Approval.Kind.FIRST_AID, expires_on=date(2026, 9, 1))
    assert kinds(lesson(cohort, lead, site=site)) == ["approval"]
    assert kinds(lesson(cohort, lead, starts_at=NOON + 24 * HOUR)) == []


@pytest.fixture
def two(cohort):
    """Two lessons, the second after the first."""
    first, second = (builders.lesson(course=cohort.course, title=t) for t in ("One", "Two"))
    second.prerequisites.add(first)
    return first, second


def test_what_comes_before_is_held_or_planned_to_end_by_then(cohort, lead, two):
    first, second = two
    made = lesson(cohort, lead, lesson=second)
    (found,) = conflicts_of(made)
    assert found.sentence == "Not held with this cohort yet: One."
    before = lesson(cohort, lead, lesson=first, starts_at=NOON - HOUR)
    assert kinds(made) == []
    before.starts_at = NOON - HOUR / 2
    before.lead = None
    before.save()
    assert kinds(made) == ["lesson"]


def test_a_drill_is_content_with_a_planned_lesson_and_says_so(cohort, site, lead, two):
    made = drill(cohort, site, lead)
    made.exercise.lessons.add(two[1])
    assert beside(plan_of(made)).open[0].sentence == "Not held with this cohort yet: One, Two."
    for n, one in enumerate(two):
        lesson(cohort, lead, lesson=one, starts_at=NOON - (4 - n) * HOUR)
    found = beside(plan_of(made))
    assert found.open == ()
    assert found.awaited == (
        "Rests on lessons that are planned before it and not held yet: "
        "“One” (Tue 22 September, 09:00–10:00); “Two” (Tue 22 September, 10:00–11:00)."
    )
    student = builders.student(cohort)
    for one in two:
        Attendance.objects.create(
            cohort=cohort, lesson=one, lesson_key=one.key, person=student, present=True,
            marked_by=lead,
        )  # fmt: skip
    assert beside(plan_of(made)).awaited == ""


def test_a_lesson_planned_for_one_group_is_not_enough_for_the_other(cohort, site, lead):
    plan = builders.lesson(course=cohort.course)
    groups = [builders.group(builders.student(cohort), cohort=cohort) for _n in range(2)]
    made = drill(cohort, site, lead)
    made.exercise.lessons.add(plan)
    lesson(cohort, lead, lesson=plan, starts_at=NOON - 4 * HOUR).groups.set(groups[:1])
    assert kinds(made) == ["lesson"]
    made.groups.set(groups[:1])
    assert kinds(made) == []
    made.groups.set(groups)
    lesson(cohort, lead, lesson=plan, starts_at=NOON - 3 * HOUR).groups.set(groups[1:])
    assert kinds(made) == []


def test_a_lesson_planned_in_the_version_before_counts_by_its_key(cohort, site, lead):
    old = builders.lesson(course=cohort.course)
    newer = builders.course(
        school=cohort.course.school, lineage=cohort.course.lineage, number=2, title="Newer"
    )
    new = builders.lesson(course=newer, key=old.key)
    made = drill(cohort, site, lead, exercise=builders.exercise(course=newer))
    made.exercise.lessons.add(new)
    lesson(cohort, lead, lesson=old, starts_at=NOON - 4 * HOUR)
    assert kinds(made) == []


def test_a_week_of_both_has_the_same_conflicts_in_as_many_queries(
    cohort, site, lead, two, django_assert_max_num_queries
):
    builders.student(cohort)
    made = [drill(cohort, site, lead), lesson(cohort, lead, lesson=two[1], site=site)]
    for n in range(4):
        group = builders.group(builders.student(cohort), cohort=cohort)
        made.append(lesson(cohort, None, lesson=two[n % 2], starts_at=NOON + n * HOUR / 2))
        made[-1].groups.add(group)
    made[0].exercise.lessons.add(two[1])
    found = open_conflicts_of(cohort.course.school, made)
    assert found == {one.ref: conflicts_of(one) for one in made if conflicts_of(one)}
    with django_assert_max_num_queries(25):
        open_conflicts_of(cohort.course.school, made)
