"""The lessons that exercises of a timetable rest on: held, planned, or placed along with them."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from django.db.models import TextChoices
from django.utils.translation import gettext_lazy as _

from coursework.conflicts.plan import chains, planned_of, students_by
from coursework.models import Cohort, Lesson, PlannedLesson
from coursework.timetable.booked import minute_of
from coursework.timetable.problem import WHOLE, Span, Task

HELD_BY_THEN = (0, 0)
"""Stands where a lesson is taken to be held: before everything."""


class LessonsBy(TextChoices):
    """What becomes of lessons that come before and have not been held."""

    PLANNED = "planned", _("only exercises whose lessons are held or planned")
    HELD = "held", _("all exercises: the lessons are held by then")
    WHOLE = "whole", _("the lessons too, each with the whole cohort")
    GROUPS = "groups", _("the lessons too, each group by group")

    @property
    def places(self) -> bool:
        """Whether lessons are placed along with the exercises."""
        return self in (LessonsBy.WHOLE, LessonsBy.GROUPS)


@dataclass(frozen=True, kw_only=True)
class Lessons:
    """`tasks` are of lessons not held; `fixed` are those of them that are planned, or taken to be
    held, by task and party. The key of a task is that of its lesson, below nought."""

    tasks: tuple[Task, ...] = ()
    fixed: dict[tuple[int, int], Span] = field(default_factory=dict)
    before: dict[int, frozenset[int]] = field(default_factory=dict)
    """By exercise the tasks that come before it."""
    of_task: dict[int, Lesson] = field(default_factory=dict)

    def open_to(self, party: int, exercise: int) -> list[Lesson]:
        """Those before an exercise that are neither planned for a party nor can be placed."""
        known = {task.key: task for task in self.tasks}
        return [
            self.of_task[key]
            for key in sorted(self.before.get(exercise, ()), reverse=True)
            if not known[key].starts and not {(key, party), (key, WHOLE)} & set(self.fixed)
        ]


def key_of(lesson: Lesson) -> int:
    return -lesson.pk


def lesson_tasks(
    cohort: Cohort,
    lessons: Sequence[Lesson],
    unheld: Mapping[int, Sequence[Lesson]],
    *,
    by: LessonsBy,
    students: Mapping[int, frozenset[int]],
    starts: Mapping[int, Mapping[int, Mapping[int, int]]],
    origin: datetime,
) -> Lessons:
    """lessons: all of the course version. unheld: by exercise those before it not held yet.

    students: by party. starts: by lesson (primary key), place and minute the cost, for those
    that are placed.
    """
    needed = {lesson.pk: lesson for some in unheld.values() for lesson in some}
    if not needed:
        return Lessons()
    planned = _Planned(cohort, needed.values(), students, origin)
    of_lesson = chains(lessons)
    tasks: dict[int, Task] = {}
    fixed: dict[tuple[int, int], Span] = {}
    # In an order in which what comes before is made before.
    for lesson in sorted(needed.values(), key=lambda one: (len(of_lesson[one.pk]), one.pk)):
        after = {-pk for pk in of_lesson[lesson.pk] if pk in needed and pk != lesson.pk}
        spans = {key: planned.span(lesson, key) for key in students}
        had = [span for span in spans.values() if span is not None]
        together = (
            by == LessonsBy.WHOLE
            and WHOLE not in students
            and len(had) in (0, len(spans))
            # Of what is done together, all that comes before is.
            and all(tasks[key].together for key in after)
        )
        key = key_of(lesson)
        tasks[key] = Task(
            key=key,
            starts={place: dict(some) for place, some in starts.get(lesson.pk, {}).items()},
            after=frozenset(after),
            together=together,
            minutes=lesson.minutes,
        )
        if together and had:
            fixed[key, WHOLE] = min(b for b, _e in had), max(e for _b, e in had)
        for party, span in spans.items():
            if together:
                continue
            if span is not None:
                fixed[key, party] = span
            elif by == LessonsBy.HELD:
                fixed[key, party] = HELD_BY_THEN
    return Lessons(
        tasks=tuple(tasks.values()),
        fixed=fixed,
        before={
            exercise: frozenset(key_of(lesson) for lesson in some)
            for exercise, some in unheld.items()
        },
        of_task={key_of(lesson): lesson for lesson in needed.values()},
    )


class _Planned:
    """When lessons are planned for whom."""

    def __init__(
        self,
        cohort: Cohort,
        lessons: Collection[Lesson],
        students: Mapping[int, frozenset[int]],
        origin: datetime,
    ) -> None:
        self._students, self._origin = students, origin
        rows = list(planned_of([cohort.pk], lessons))
        groups = {group.pk for row in rows for group in row.groups.all()}
        of_cohort, of_group = students_by([cohort.pk], groups)
        self._of: dict[UUID, list[tuple[PlannedLesson, set[int]]]] = defaultdict(list)
        for row in sorted(rows, key=lambda row: row.ends_at):
            some = [of_group[group.pk] for group in row.groups.all()]
            people = set().union(*some) if some else of_cohort[cohort.pk]
            self._of[row.lesson.key].append((row, people))

    def span(self, lesson: Lesson, party: int) -> Span | None:
        """From the begin of the first to the end of the one after which all of a party have had
        it; None where some have not."""
        wanted, had = self._students[party], set()
        begins = []
        for row, people in self._of[lesson.key]:
            begins.append(row.starts_at)
            had |= people
            if wanted <= had:
                return self._minute(min(begins)), self._minute(row.ends_at)
        return None

    def _minute(self, at: datetime) -> int:
        return minute_of(at, self._origin)
