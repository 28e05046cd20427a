"""Planned lessons in a proposed timetable: what stands, what comes after it, what is placed too."""

from datetime import UTC, datetime, time, timedelta
from datetime import date as day_of

import pytest
from django.db import transaction
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from coursework.conflicts import conflicts_of, plan_of
from coursework.conflicts.plan import Surroundings
from coursework.models import Attendance, Drill, PlannedLesson
from coursework.services.timetables import accept_timetable
from coursework.timetable.engine import solve
from coursework.timetable.lessons import LessonsBy
from coursework.timetable.problem import INDOORS, WHOLE
from coursework.timetable.question import Asked, question_of
from coursework.timetable.sessions import sessions_of
from coursework.timetable.windows import Hours
from tests import builders

pytestmark = pytest.mark.django_db
BEFORE = datetime(2026, 9, 1, tzinfo=UTC)
MORNING = datetime(2026, 9, 21, 8, 0, tzinfo=UTC)  # 10:00 by the clock of the site
HOUR = timedelta(hours=1)


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


@pytest.fixture
def lesson(cohort):
    return builders.lesson(course=cohort.course, title="The sun", minutes=90)


def asked(cohort, lead, *lessons, **parts) -> Asked:
    """One exercise that can be held at any hour, and rests on the lessons."""
    if "exercises" not in parts:
        exercise = builders.exercise(course=cohort.course, title="Line", tolerance=90.0)
        exercise.lessons.set(lessons)
        parts["exercises"] = (exercise,)
    usual = {
        "hours": Hours(
            first=day_of(2026, 9, 21), last=day_of(2026, 9, 21), begins=time(9), ends=time(16)
        ),
        "minutes": 60,
        "gap": 0,
        "sites": (builders.site(school=cohort.course.school),),
        "staff": (lead,),
        "now": BEFORE,
    }
    return Asked(cohort=cohort, **usual | parts)


def planned(cohort, lesson, lead, *groups, **fields) -> PlannedLesson:
    of = {"starts_at": MORNING, "minutes": lesson.minutes, "lead": lead}
    made = builders.planned_lesson(cohort=cohort, lesson=lesson, **of | fields)
    made.groups.set(groups)
    return made


def answered(question):
    return question, solve(question.problem)


def starts(question, answer) -> list[tuple[str, datetime]]:
    sessions = sessions_of(question, answer.placed)
    return [(session.title, session.starts_at) for session in sessions]


def test_an_exercise_is_placed_after_the_planned_end_of_its_lesson(cohort, lead, lesson):
    planned(cohort, lesson, builders.lead(cohort))
    question, answer = answered(question_of(asked(cohort, lead, lesson)))
    ((title, at),) = starts(question, answer)
    assert (title, at >= MORNING + timedelta(minutes=90)) == ("Line", True)


@pytest.mark.parametrize("off", ["cancelled", "after the last hour"])
def test_a_lesson_that_is_off_or_too_late_does_not_count(cohort, lead, lesson, off):
    of = {"cancelled_at": BEFORE} if off == "cancelled" else {"starts_at": MORNING + 9 * HOUR}
    planned(cohort, lesson, None, **of)
    question, answer = answered(question_of(asked(cohort, lead, lesson)))
    assert answer.placed == ()
    (line,) = question.answer_lines(answer)
    assert line.startswith("Line (the whole cohort): ")


def test_planned_lessons_keep_their_people_and_their_site_busy(cohort, lead, lesson):
    builders.student(cohort)
    of = asked(cohort, lead)
    helper = builders.assistant(cohort)
    made = planned(cohort, lesson, lead, site=of.sites[0])
    made.assistants.add(helper)
    problem = question_of(of).problem
    begin = (MORNING - datetime(2026, 9, 20, tzinfo=UTC)) // timedelta(minutes=1)
    (stay,) = problem.workers[0].away
    assert stay == (begin, begin + 90, of.sites[0].pk)
    assert problem.parties[0].away == (stay,)
    assert problem.places[0].busy == (stay[:2],)
    made.site, made.place = None, "Hut"
    made.save()
    problem = question_of(of).problem
    assert problem.workers[0].away == ((begin, begin + 90, INDOORS),)
    assert problem.places[0].busy == ()


def test_a_group_whose_lesson_is_planned_goes_and_the_other_is_told_of(cohort, lead, lesson):
    groups = [
        builders.group(builders.student(cohort), cohort=cohort, name=name) for name in ("A", "B")
    ]
    planned(cohort, lesson, None, groups[0])
    question, answer = answered(question_of(asked(cohort, lead, lesson, groups=tuple(groups))))
    (one,) = answer.placed
    assert one.party == groups[0].pk
    assert question.answer_lines(answer) == [
        "Line (B): lessons that come before it are neither held nor planned."
    ]


def test_taken_to_be_held_they_hold_nothing_back_but_a_planned_one_still_comes_before(
    cohort, lead, lesson
):
    other = builders.lesson(course=cohort.course, title="The stick")
    planned(cohort, lesson, None)
    of = asked(cohort, lead, lesson, other, lessons=LessonsBy.HELD)
    question, answer = answered(question_of(of))
    ((_title, at),) = starts(question, answer)
    assert at >= MORNING + timedelta(minutes=90)
    assert question.untaught == [other]


def test_lessons_are_placed_too_with_the_whole_cohort_before_what_rests_on_them(
    cohort, lead, lesson
):
    second = builders.lesson(course=cohort.course, title="The stick", minutes=60)
    second.prerequisites.add(lesson)
    groups = tuple(builders.group(builders.student(cohort), cohort=cohort) for _n in range(2))
    of = asked(
        cohort, lead, second, groups=groups, lessons=LessonsBy.WHOLE, lesson_place="School room"
    )
    question, answer = answered(question_of(of))
    sessions = sessions_of(question, answer.placed)
    assert [one.title for one in sessions] == ["The sun", "The stick", "Line", "Line"]
    assert [one.group for one in sessions[:2]] == [None, None]
    assert [one.place_name for one in sessions[:2]] == ["School room", "School room"]
    made = accept_timetable(lead, cohort, sessions, now=BEFORE)
    assert [one.is_lesson for one in made] == [True, True, False, False]
    assert [conflicts_of(one) for one in made] == [[], [], [], []]
    assert made[0].minutes == 90


def test_lessons_are_placed_group_by_group_at_the_sites(cohort, lead, lesson):
    groups = tuple(builders.group(builders.student(cohort), cohort=cohort) for _n in range(2))
    of = asked(cohort, lead, lesson, groups=groups, lessons=LessonsBy.GROUPS)
    answer = solve(question_of(of).problem)
    assert len(answer.placed) == 4
    assert {one.party for one in answer.placed} == {group.pk for group in groups}
    assert {one.place for one in answer.placed} == {of.sites[0].pk}


def test_a_lesson_planned_already_is_not_placed_again_and_those_after_it_follow(
    cohort, lead, lesson
):
    second = builders.lesson(course=cohort.course, title="The stick")
    second.prerequisites.add(lesson)
    groups = tuple(builders.group(builders.student(cohort), cohort=cohort) for _n in range(2))
    planned(cohort, lesson, None)
    of = asked(cohort, lead, second, groups=groups, lessons=LessonsBy.WHOLE)
    question, answer = answered(question_of(of))
    placed = [(one.task, one.party) for one in answer.placed if one.task < 0]
    assert placed == [(-second.pk, WHOLE)]
    assert all(at >= MORNING + timedelta(minutes=90) for _title, at in starts(question, answer))


PLANS = st.tuples(
    st.integers(0, 2),  # which lesson
    st.integers(-4, 12),  # from 10:00 on the first day, in half hours
    st.sampled_from([0, 1, 2]),  # for everybody, the first group, the second
    st.booleans(),  # at the site, or under a roof
    st.booleans(),  # led by the lead whom the timetable wants too
)


@settings(
    max_examples=25,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(
    by=st.sampled_from(LessonsBy),
    plans=st.lists(PLANS, max_size=4),
    held=st.sets(st.integers(0, 2)),
    place=st.sampled_from(["", "Hut"]),
    gap=st.sampled_from([0, 15]),
    grouped=st.booleans(),
)
def test_whatever_is_planned_a_proposal_is_accepted_with_nothing_against_it(
    by, plans, held, place, gap, grouped
):
    """Lessons that rest on each other, held, planned or neither; drills that rest on them."""
    with transaction.atomic():
        _propose(by, plans, held, place=place, gap=gap, grouped=grouped)
        transaction.set_rollback(True)


def _propose(by, plans, held, *, place, gap, grouped):
    cohort = builders.cohort()
    lead, other = builders.lead(cohort), builders.lead(cohort)
    groups = [builders.group(builders.student(cohort), cohort=cohort) for _n in range(2)]
    lessons = [builders.lesson(course=cohort.course, minutes=60 + 30 * n) for n in range(3)]
    lessons[1].prerequisites.add(lessons[0])
    exercises = []
    for number, wanted in enumerate(([1], [2])):
        exercises.append(builders.exercise(course=cohort.course, tolerance=90.0, position=number))
        exercises[-1].lessons.set(lessons[n] for n in wanted)
    site = builders.site(school=cohort.course.school, drills_at_once=2)
    for number, start, whom, outdoors, led in plans:
        planned(
            cohort,
            lessons[number],
            lead if led else other,
            *(groups[whom - 1 : whom] if whom else ()),
            starts_at=MORNING + start * HOUR / 2,
            **({"site": site} if outdoors else {"place": "Hut"}),
        )
    for number in held:
        Attendance.objects.create(
            cohort=cohort,
            lesson=lessons[number],
            lesson_key=lessons[number].key,
            person=groups[0].students.get(),
            present=True,
            marked_by=lead,
        )
    of = asked(
        cohort,
        lead,
        exercises=tuple(exercises),
        sites=(site,),
        gap=gap,
        groups=tuple(groups) if grouped else (),
        lessons=by,
        lesson_place=place,
    )
    before = set(PlannedLesson.objects.values_list("pk", flat=True))
    question = question_of(of)
    answer = solve(question.problem, longest_s=2.0)
    reason = "Held by then." if by == LessonsBy.HELD else ""
    made = accept_timetable(
        lead, cohort, sessions_of(question, answer.placed), reason=reason, now=BEFORE
    )
    assert len(made) == len(answer.placed)
    assert Drill.objects.count() + PlannedLesson.objects.exclude(pk__in=before).count() == len(made)
    for one in made:
        found = conflicts_of(one)
        if by == LessonsBy.HELD:
            found = [conflict for conflict in found if conflict.kind != "lesson"]
        assert found == []
        # What comes before it and is planned for these very students ends by then.
        around = Surroundings.of(plan_of(one))
        assert all(each.ends_at <= one.starts_at for each in around.awaited)
