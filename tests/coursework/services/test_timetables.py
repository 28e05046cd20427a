"""A timetable taken into the plan: everything or nothing."""

from datetime import UTC, datetime, time, timedelta
from datetime import date as day_of

import pytest
from django.core.exceptions import ValidationError

from coursework.models import Drill
from coursework.services.timetables import Session, accept_timetable
from coursework.timetable.engine import solve
from coursework.timetable.lessons import LessonsBy
from coursework.timetable.question import Asked, question_of
from coursework.timetable.windows import Hours
from tests import builders

pytestmark = pytest.mark.django_db
BEFORE = datetime(2026, 9, 1, tzinfo=UTC)
NOON = datetime(2026, 9, 22, 11, 0, tzinfo=UTC)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


@pytest.fixture
def session(cohort, lead):
    return Session(
        exercise=builders.exercise(course=cohort.course),
        site=builders.site(school=cohort.course.school),
        group=None,
        starts_at=NOON,
        minutes=60,
        staff=(lead, builders.assistant(cohort)),
        wet_plan="A lesson.",
    )


def accept(lead, cohort, sessions, **more):
    return accept_timetable(lead, cohort, sessions, now=BEFORE, **more)


def test_sessions_become_drills_with_their_people(cohort, lead, session):
    (drill,) = accept(lead, cohort, [session])
    assert (drill.lead, list(drill.assistants.all())) == (lead, [session.staff[1]])
    assert (drill.starts_at, drill.wet_plan, drill.pinned) == (NOON, "A lesson.", False)


def test_what_changed_since_is_refused_and_nothing_is_planned(cohort, lead, session):
    later = builders.drill(cohort=cohort, site=session.site, starts_at=NOON, lead=lead)
    with pytest.raises(ValidationError, match="has changed since"):
        accept(lead, cohort, [session])
    assert list(Drill.objects.all()) == [later]


def test_a_lesson_not_held_needs_a_reason_which_is_kept(cohort, lead, session):
    lesson = builders.lesson(course=cohort.course)
    session.exercise.lessons.add(lesson)
    with pytest.raises(ValidationError, match="Say why"):
        accept(lead, cohort, [session])
    (drill,) = accept(lead, cohort, [session], reason="Held that morning.")
    assert [one.reason for one in drill.plan_exceptions.all()] == ["Held that morning."]


def test_what_was_planned_moves_with_its_place_in_calendars_and_the_rest_is_cancelled(
    cohort, lead, session
):
    (first,) = accept(lead, cohort, [session])
    other = builders.drill(cohort=cohort, starts_at=NOON + timedelta(hours=2))
    moved = Session(**{**vars(session), "starts_at": NOON + timedelta(minutes=30)})
    (again,) = accept(lead, cohort, [moved], replaced=[first, other])
    other.refresh_from_db()
    assert (again.pk, again.key, again.sequence) == (first.pk, first.key, 1)
    assert not Drill.objects.get(pk=first.pk).is_cancelled
    assert other.cancel_reason == "Replaced by a new timetable."


def test_a_pinned_drill_is_never_replaced(cohort, lead, session):
    pinned = builders.drill(cohort=cohort, starts_at=NOON + timedelta(hours=3), pinned=True)
    accept(lead, cohort, [session], replaced=[pinned])
    pinned.refresh_from_db()
    assert not pinned.is_cancelled


def asked(cohort, lead, **parts) -> Asked:
    usual = {
        "hours": Hours(
            first=day_of(2026, 9, 21), last=day_of(2026, 9, 22), begins=time(9), ends=time(17)
        ),
        "minutes": 60,
        "gap": 0,
        "exercises": (builders.exercise(course=cohort.course),),
        "sites": (builders.site(school=cohort.course.school),),
        "staff": (lead,),
        "now": BEFORE,
    }
    return Asked(cohort=cohort, **usual | parts)


def test_a_proposal_for_a_real_cohort_is_accepted_as_it_is(cohort, lead):
    groups = tuple(builders.group(builders.student(cohort), cohort=cohort) for _n in range(3))
    question = question_of(asked(cohort, lead, groups=groups))
    answer = solve(question.problem)
    assert (len(answer.placed), answer.is_best, answer.missing) == (3, True, ())
    names = {group.pk: group for group in groups}
    sessions = [
        Session(
            exercise=question.asked.exercises[0],
            site=question.asked.sites[0],
            group=names[one.party],
            starts_at=question.at(one.start),
            minutes=60,
            staff=(lead,),
        )
        for one in answer.placed
    ]
    assert len(accept(lead, cohort, sessions)) == 3


def test_what_stands_is_worked_around_and_a_pinned_one_is_not_placed_again(cohort, lead):
    of = asked(cohort, lead)
    builders.drill(
        cohort=cohort, exercise=of.exercises[0], site=of.sites[0], starts_at=NOON, pinned=True
    )
    question = question_of(of)
    assert question.problem.sessions == []
    assert question.replaced == ()
    assert question.problem.workers[0].away == ()
    assert len(question.problem.places[0].busy) == 1


def test_an_exercise_whose_lessons_have_not_been_held_is_left_out_and_says_so(cohort, lead):
    of = asked(cohort, lead)
    lesson = builders.lesson(course=cohort.course, title="The sun")
    of.exercises[0].lessons.add(lesson)
    question = question_of(of)
    answer = solve(question.problem)
    assert answer.placed == ()
    (line,) = question.answer_lines(answer)
    assert line.endswith("lessons that come before it are neither held nor planned.")


def test_exercises_follow_those_of_the_lessons_that_theirs_rest_on(cohort, lead):
    first, second = (builders.exercise(course=cohort.course) for _n in range(2))
    sun, stick = (builders.lesson(course=cohort.course) for _n in range(2))
    stick.prerequisites.add(sun)
    first.lessons.add(sun)
    second.lessons.add(stick)
    question = question_of(asked(cohort, lead, exercises=(first, second), lessons=LessonsBy.HELD))
    assert {task.key: task.after for task in question.problem.tasks} == {
        -sun.pk: frozenset(),
        -stick.pk: {-sun.pk},
        first.pk: {-sun.pk},
        second.pk: {first.pk, -sun.pk, -stick.pk},
    }


def test_nobody_whose_approval_has_lapsed_is_taken(cohort, lead):
    builders.approval(person=lead, issued_on=day_of(2025, 1, 1), expires_on=day_of(2026, 9, 19))
    answer = solve(question_of(asked(cohort, lead)).problem)
    assert [one.why for one in answer.missing] == ["no-staff"]
