"""The sessions that the numbers of an answer stand for."""

from collections.abc import Callable, Sequence

from coursework.services.timetables import Session
from coursework.timetable.problem import WHOLE, Placed
from coursework.timetable.question import Question
from coursework.timetable.wet import wet_plans


def knows(question: Question) -> Callable[[Placed], bool]:
    """Whether a question has all that a placed session speaks of."""
    problem = question.problem
    tasks, parties, places, workers = (
        {thing.key for thing in things}
        for things in (problem.tasks, problem.parties, problem.places, problem.workers)
    )

    if problem.whole is not None:
        parties = parties | {problem.whole.key}

    def known(one: Placed) -> bool:
        return (
            one.task in tasks
            and one.party in parties
            and one.place in places
            and set(one.workers) <= workers
        )

    return known


def sessions_of(question: Question, placed: Sequence[Placed]) -> list[Session]:
    """In the order of `placed`, with what is done in wet weather."""
    asked = question.asked
    exercises = {one.pk: one for one in asked.exercises}
    sites = {one.pk: one for one in asked.sites}
    groups = {one.pk: one for one in asked.groups}
    staff = {one.pk: one for one in asked.staff}
    indoors = [one for one in exercises.values() if one.is_travel]
    lessons = asked.cohort.course.lessons.order_by("position", "id")
    drills = [one for one in placed if one.task in exercises]
    wet = wet_plans(drills, exercises, indoors=indoors, lessons=lessons, minutes=asked.minutes)
    tasks = {task.key: task for task in question.problem.tasks}
    return [
        Session(
            exercise=exercises.get(one.task),
            lesson=question.lessons.of_task.get(one.task),
            site=sites.get(one.place),
            place="" if one.place in sites else asked.lesson_place,
            place_zone=asked.zone,
            group=None if one.party == WHOLE else groups[one.party],
            starts_at=question.at(one.start),
            minutes=question.problem.length(tasks[one.task]),
            staff=tuple(staff[key] for key in one.workers),
            wet_plan=wet.get((one.task, one.party), ""),
        )
        for one in placed
    ]
