"""From what a lead asks for to the problem of the engine, and back to drills."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coursework.conflicts.plan import (
    held_lessons,
    lessons_before,
    lessons_of,
)
from coursework.models import (
    Approval,
    Cohort,
    Drill,
    Exercise,
    Group,
    Lesson,
    Person,
    Role,
    SchoolSettings,
    Site,
)
from coursework.models.bookings import Booking
from coursework.timetable.booked import Booked, bookings_of, minute_of
from coursework.timetable.lessons import (
    HELD_BY_THEN,
    Lessons,
    LessonsBy,
    lesson_tasks,
)
from coursework.timetable.problem import INDOORS, WHOLE, Answer, Party, Place, Problem, Task, Worker
from coursework.timetable.proposal import Proposal
from coursework.timetable.windows import Hours, windows_of
from coursework.ways import way_min

WHY = {
    "no-hour": gettext_lazy("at none of these hours and sites can it be held to its standard"),
    "party-busy": gettext_lazy("the group is elsewhere, or its order is fixed, whenever it could"),
    "place-busy": gettext_lazy("the sites are taken at all hours at which it could be held"),
    "no-staff": gettext_lazy("too few of the staff are free and approved for so many students"),
    "before": gettext_lazy("what comes before it could not be placed either"),
    "full": gettext_lazy("no room was found beside the others: add days, sites or staff"),
    "by-hand": gettext_lazy("its hour was given to another group by hand: ask again"),
    "lessons": gettext_lazy("lessons that come before it are neither held nor planned"),
}


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What a timetable is to be made of."""

    cohort: Cohort
    hours: Hours
    minutes: int
    gap: int
    exercises: tuple[Exercise, ...]
    sites: tuple[Site, ...]
    staff: tuple[Person, ...]
    groups: tuple[Group, ...] = ()
    lessons: LessonsBy = LessonsBy.PLANNED
    lesson_place: str = ""
    """Where lessons are placed, in words; blank: at the sites."""
    usual_zone: str = ""
    """The clock that the cohort goes by."""
    now: datetime

    @property
    def zone(self) -> str:
        """The clock of what is at no site: the usual one, or where the cohort goes elsewhere, that
        of the first site asked for."""
        zones = [site.zone for site in self.sites]
        return self.usual_zone if self.usual_zone in zones else zones[0]


@dataclass(frozen=True)
class Question:
    """The problem with what its numbers stand for."""

    asked: Asked
    problem: Problem
    origin: datetime
    replaced: tuple[Drill, ...]
    """Drills that are planned and not pinned: they make room and move to their new hours."""
    lessons: Lessons = field(default_factory=Lessons)

    def at(self, minute: int) -> datetime:
        return self.origin + timedelta(minutes=minute)

    @property
    def untaught(self) -> list[Lesson]:
        """Lessons that are taken to be held by then."""
        held = {task for (task, _party), span in self.lessons.fixed.items() if span == HELD_BY_THEN}
        return [self.lessons.of_task[task] for task in sorted(held, reverse=True)]

    def answer_lines(self, answer: "Answer | Proposal") -> list[str]:
        """What could not be placed and why, one sentence for each task and reason."""
        names = {group.pk: group.name for group in self.asked.groups}
        titles = {exercise.pk: exercise.title for exercise in self.asked.exercises}
        titles |= {
            key: _("Lesson “%s”") % lesson.title for key, lesson in self.lessons.of_task.items()
        }
        why: dict[tuple[int, str], list[str]] = defaultdict(list)
        for one in answer.missing:
            if one.task in self.lessons.of_task and not self.asked.lessons.places:
                continue  # it is said of the exercises that rest on it
            untaught = one.why == "before" and self.lessons.open_to(one.party, one.task)
            reason = "lessons" if untaught else one.why
            why[one.task, reason].append(names.get(one.party, _("the whole cohort")))
        return [
            _("%(exercise)s (%(groups)s): %(why)s.")
            % {"exercise": titles[task], "groups": ", ".join(groups), "why": WHY[reason]}
            for (task, reason), groups in why.items()
        ]


def question_of(asked: Asked) -> Question:
    """Reads what is booked already; nothing is changed."""
    origin = datetime.combine(asked.hours.first, time(), UTC) - timedelta(days=1)
    last = datetime.combine(asked.hours.last, time(), UTC) + timedelta(days=2)
    replaced, others = bookings_of(asked, origin, last)
    students = _students(asked)
    everybody = _enrolled(asked)
    windows = windows_of(asked.sites, asked.hours, asked.minutes)
    booked = Booked(others, origin, asked.gap)
    course = lessons_of(asked.cohort.course_id)
    unheld = _unheld(asked, course)
    lessons = lesson_tasks(
        asked.cohort,
        course,
        unheld,
        by=asked.lessons,
        students=students,
        starts=_lesson_starts(asked, unheld, origin),
        origin=origin,
    )
    after = orders_of(asked)
    tasks = [*lessons.tasks]
    for exercise in asked.exercises:
        starts: dict[int, dict[int, int]] = {}
        for site in asked.sites:
            allowed = windows[site.pk].allowed(exercise)
            starts[site.pk] = {
                minute_of(at, origin): cost for at, cost in allowed.items() if at > asked.now
            }
        before = after[exercise.pk] | lessons.before.get(exercise.pk, frozenset())
        tasks.append(Task(key=exercise.pk, starts=starts, after=before))
    problem = Problem(
        minutes=asked.minutes,
        gap=asked.gap,
        tasks=tuple(tasks),
        parties=tuple(
            Party(key=key, size=len(people), away=booked.of_students(people))
            for key, people in students.items()
        ),
        whole=None
        if WHOLE in students
        else Party(key=WHOLE, size=len(everybody), away=booked.of_students(everybody)),
        places=_places(asked, booked),
        workers=_workers(asked, booked, origin, last),
        fixed=lessons.fixed | _fixed(asked, others, origin, students),
        ways=_ways(asked, others, SchoolSettings.of(asked.cohort.course.school).travel_kmh),
    )
    return Question(asked, problem, origin, tuple(replaced), lessons)


def _places(asked: Asked, booked: Booked) -> tuple[Place, ...]:
    usual = SchoolSettings.of(asked.cohort.course.school).students_per_instructor
    found = [
        Place(
            key=site.pk,
            room=site.drills_at_once,
            students_per_instructor=site.students_per_instructor or usual,
            busy=booked.of_site(site.pk),
        )
        for site in asked.sites
    ]
    if asked.lessons.places and asked.lesson_place:
        # One lesson at a time; under a roof one instructor is enough for any number.
        busy = booked.in_words(asked.lesson_place)
        found.append(Place(key=INDOORS, students_per_instructor=10**6, busy=busy))
    return tuple(found)


def _lesson_starts(asked: Asked, unheld, origin: datetime) -> dict[int, dict[int, dict[int, int]]]:
    """By lesson and place the minutes at which it may begin; none where none are placed."""
    if not asked.lessons.places:
        return {}
    zones = {site.pk: site.zone_info for site in asked.sites}
    if asked.lesson_place:
        zones = {INDOORS: ZoneInfo(asked.zone)}
    return {
        lesson.pk: {
            place: {
                minute_of(at, origin): 0
                for at in asked.hours.starts(zone, lesson.minutes)
                if at > asked.now
            }
            for place, zone in zones.items()
        }
        for some in unheld.values()
        for lesson in some
    }


def _ways(asked: Asked, others: list[Booking], speed_kmh: float) -> dict[tuple[int, int], int]:
    """From each site asked for to the others, and to those of what stands."""
    there = [one.site for one in others if one.site is not None]
    sites = {site.pk: site for site in (*asked.sites, *there)}
    return {
        (here.pk, there.pk): way_min(here, there, speed_kmh=speed_kmh)
        for here in asked.sites
        for there in sites.values()
        if here.pk != there.pk
    }


def _unheld(asked: Asked, course: list[Lesson]) -> dict[int, list[Lesson]]:
    """By exercise asked for the lessons before it that are not held; none left out."""
    held = held_lessons(asked.cohort.pk)
    chosen = {exercise.pk for exercise in asked.exercises}
    found = {
        exercise: [lesson for lesson in lessons if lesson.key not in held]
        for exercise, lessons in lessons_before(course).items()
        if exercise in chosen
    }
    return {exercise: lessons for exercise, lessons in found.items() if lessons}


def orders_of(asked: Asked) -> dict[int, frozenset[int]]:
    """An exercise comes after those of the lessons that its own lessons rest on."""
    lessons = lessons_of(asked.cohort.course_id)
    of_exercise: dict[int, set[int]] = defaultdict(set)
    for lesson in lessons:
        for exercise in lesson.exercises.all():
            of_exercise[exercise.pk].add(lesson.pk)
    needed = lessons_before(lessons)
    strictly = {
        exercise: {lesson.pk for lesson in chain} - of_exercise[exercise]
        for exercise, chain in needed.items()
    }
    chosen = [exercise.pk for exercise in asked.exercises]
    return {
        one: frozenset(
            other
            for other in chosen
            if other != one
            and of_exercise[other] & strictly.get(one, set())
            and not of_exercise[one] & strictly.get(other, set())
        )
        for one in chosen
    }


def _enrolled(asked: Asked) -> frozenset[int]:
    rows = asked.cohort.enrolments.filter(role=Role.STUDENT)
    return frozenset(rows.values_list("person", flat=True))


def _students(asked: Asked) -> dict[int, frozenset[int]]:
    """By group, or WHOLE, the students who are enrolled."""
    enrolled = _enrolled(asked)
    if not asked.groups:
        return {WHOLE: enrolled}
    found: dict[int, set[int]] = {group.pk: set() for group in asked.groups}
    rows = Group.students.through.objects.filter(group__in=asked.groups)
    for group, person in rows.values_list("group", "person"):
        found[group].add(person)
    return {key: frozenset(people & enrolled) for key, people in found.items()}


def _workers(asked: Asked, booked: Booked, origin: datetime, last: datetime):
    """Each with the drills they are at, and no time after an approval has lapsed."""
    held = Approval.objects.last_days([person.pk for person in asked.staff])
    end = minute_of(last, origin)
    found = []
    for person in asked.staff:
        busy = []
        if days := held.get(person.pk):
            lapses = datetime.combine(min(days.values()) + timedelta(days=1), time(), UTC)
            # From the earliest midnight of any zone on: rather too careful than not enough.
            begin = max(0, minute_of(lapses, origin) - 14 * 60)
            if begin < end:
                busy.append((begin, end))
        away = booked.of_person(person.pk)
        found.append(Worker(key=person.pk, busy=tuple(busy), away=away))
    return tuple(found)


def _fixed(asked: Asked, others: list[Booking], origin: datetime, students):
    """Drills of the cohort that stand on the dates asked for, by exercise and group."""
    found = {}
    for drill in others:
        if drill.is_lesson:
            continue
        day = drill.local_start.date()
        if drill.cohort_id != asked.cohort.pk or not asked.hours.first <= day <= asked.hours.last:
            continue
        groups = {group.pk for group in drill.groups.all()}
        span = (minute_of(drill.starts_at, origin), minute_of(drill.ends_at, origin))
        for key in students:
            if key in groups or not groups:
                found[drill.exercise_id, key] = span
    return found
