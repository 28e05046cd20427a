"""Planning lessons, cancelling them and putting them back, without pages."""

from datetime import UTC, datetime, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from coursework import services
from coursework.conflicts import LessonPlan
from coursework.models import PlannedLesson
from tests import builders

pytestmark = pytest.mark.django_db
BEFORE = datetime(2026, 6, 1, tzinfo=UTC)
DAY = timedelta(days=1)
START = datetime(2026, 6, 19, 8, 0, tzinfo=UTC)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


def plan(cohort, lead, *, assistants=(), groups=(), **fields) -> LessonPlan:
    of = {"lesson": builders.lesson(course=cohort.course), "place": "School room"} | fields
    planned = PlannedLesson(cohort=cohort, starts_at=START, lead=lead, **of)
    return LessonPlan(planned=planned, lead=lead, assistants=assistants, groups=groups)


def test_two_presses_at_once_that_both_passed_the_form_plan_one(cohort, lead):
    # Of a day that is over nothing else speaks against the second.
    after, lesson = START + DAY, builders.lesson(course=cohort.course)
    services.save_planned_lesson(lead, plan(cohort, lead, lesson=lesson), now=after)
    with pytest.raises(ValidationError, match="planned already"):
        services.save_planned_lesson(lead, plan(cohort, lead, lesson=lesson), now=after)
    group = builders.group(cohort=cohort)
    another = plan(cohort, lead, lesson=lesson, groups=(group,))
    services.save_planned_lesson(lead, another, now=after)
    assert PlannedLesson.objects.count() == 2


def test_a_lesson_is_planned_with_its_people_and_groups(cohort, lead):
    helper, group = builders.assistant(cohort), builders.group(cohort=cohort)
    wanted = plan(cohort, lead, assistants=(helper, lead), groups=(group,))
    saved = services.save_planned_lesson(lead, wanted, now=BEFORE)
    saved = PlannedLesson.objects.get(pk=saved.pk)
    assert (saved.lead, list(saved.assistants.all())) == (lead, [helper])
    assert list(saved.groups.all()) == [group]
    assert (saved.sequence, saved.changed_at) == (0, BEFORE)


@pytest.mark.parametrize("role", ["assistant", "student"])
def test_only_those_who_arrange_the_cohort_plan_cancel_and_put_back(cohort, lead, role):
    other = getattr(builders, role)(cohort)
    saved = services.save_planned_lesson(lead, plan(cohort, lead), now=BEFORE)
    for act in (
        lambda: services.save_planned_lesson(other, plan(cohort, None), now=BEFORE),
        lambda: services.cancel_planned_lesson(other, saved, reason="No.", now=BEFORE),
        lambda: services.take_up_planned_lesson(other, saved, now=BEFORE),
    ):
        with pytest.raises(PermissionDenied):
            act()


@pytest.mark.parametrize("foreign", ["site", "lead", "group", "lesson"])
def test_nothing_of_another_school_cohort_or_course_gets_into_it(cohort, lead, foreign):
    of = {}
    if foreign == "site":
        of["site"] = builders.site()
    elif foreign == "group":
        of["groups"] = (builders.group(),)
    elif foreign == "lesson":
        of["lesson"] = builders.lesson(course=builders.course(school=cohort.course.school))
    named = builders.person() if foreign == "lead" else lead
    with pytest.raises(PermissionDenied):
        services.save_planned_lesson(lead, plan(cohort, named, **of), now=BEFORE)


def test_what_speaks_against_it_is_taken_on_only_as_shown_and_with_a_reason(cohort, lead):
    wanted = plan(cohort, None)
    for given in ({}, {"reason": "A guest."}, {"seen": ["lead:none"]}):
        with pytest.raises(ValidationError, match="Something speaks against this plan"):
            services.save_planned_lesson(lead, wanted, now=BEFORE, **given)
    saved = services.save_planned_lesson(
        lead, wanted, now=BEFORE, reason=" A guest. ", seen=["lead:none"]
    )
    (kept,) = saved.plan_exceptions.all()
    assert (kept.reason, kept.by, kept.sentence) == (
        "A guest.",
        lead,
        "Nobody is named to lead it.",
    )
    services.save_planned_lesson(lead, LessonPlan.of(saved), now=BEFORE)
    assert saved.plan_exceptions.count() == 1


@pytest.mark.parametrize(
    "change", [{"place": "Barn"}, {"minutes": 90}, {"note": "Bring a pencil."}]
)
def test_what_calendars_show_raises_its_number_there(cohort, lead, change):
    saved = services.save_planned_lesson(lead, plan(cohort, lead), now=BEFORE)
    services.save_planned_lesson(lead, LessonPlan.of(saved), now=BEFORE)
    assert saved.sequence == 0
    for name, value in change.items():
        setattr(saved, name, value)
    later = BEFORE + timedelta(hours=1)
    services.save_planned_lesson(lead, LessonPlan.of(saved), now=later)
    assert (saved.sequence, saved.changed_at) == (1, later)


def test_it_is_cancelled_once_with_a_reason_and_put_back(cohort, lead):
    saved = services.save_planned_lesson(lead, plan(cohort, lead), now=BEFORE)
    services.cancel_planned_lesson(lead, saved, reason=" Snowed in. ", now=BEFORE)
    saved.refresh_from_db()
    assert (saved.is_cancelled, saved.cancel_reason, saved.sequence) == (True, "Snowed in.", 1)
    with pytest.raises(ValidationError, match="cancelled already"):
        services.cancel_planned_lesson(lead, saved, reason="Again.", now=BEFORE)
    services.take_up_planned_lesson(lead, saved, now=BEFORE)
    saved.refresh_from_db()
    assert (saved.is_cancelled, saved.cancel_reason, saved.sequence) == (False, "", 2)
    with pytest.raises(ValidationError, match="not cancelled"):
        services.take_up_planned_lesson(lead, saved, now=BEFORE)
    with pytest.raises(ValidationError, match="is over"):
        services.cancel_planned_lesson(lead, saved, reason="Late.", now=START + timedelta(hours=2))


def test_it_is_removed_as_long_as_no_attendance_was_taken(cohort, lead):
    student = builders.student(cohort)
    saved = services.save_planned_lesson(lead, plan(cohort, lead), now=BEFORE)
    other = services.save_planned_lesson(lead, plan(cohort, lead, place="Barn"), now=START + DAY)
    services.mark_attendance(lead, cohort, saved.lesson, {student.pk: True})
    with pytest.raises(services.HeldError, match="Attendance at this lesson has been taken"):
        services.remove(lead, saved)
    services.remove(lead, other)
    assert list(PlannedLesson.objects.all()) == [saved]


def test_a_planned_lesson_is_somewhere():
    with pytest.raises(IntegrityError), transaction.atomic():
        builders.planned_lesson(place="")


def test_a_site_with_a_planned_lesson_stays(cohort, lead):
    site = builders.site(school=cohort.course.school)
    builders.planned_lesson(cohort=cohort, site=site)
    with pytest.raises(services.HeldError, match="Drills or lessons are planned there"):
        services.remove(lead, site)


def test_names_in_its_texts_go_with_the_person(cohort, lead):
    administrator = builders.administrator(school=cohort.course.school)
    person = builders.student(cohort, name="Aino Lehto")
    made = builders.planned_lesson(
        cohort=cohort, place="Aino Lehto’s barn", note="Aino Lehto opens.", lead=person
    )
    made.assistants.add(person)
    label = services.erase_person(administrator, person)
    made.refresh_from_db()
    assert (made.place, made.note) == (f"{label}’s barn", f"{label} opens.")
