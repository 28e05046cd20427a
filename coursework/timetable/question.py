"""From what a lead asks for to the problem of the engine, and back to drills."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coursework.conflicts.plan import held_lessons, lessons_before
from coursework.models import (
    Approval,
    Cohort,
    Drill,
    Enrolment,
    Exercise,
    Group,
    Lesson,
    Person,
    Role,
    SchoolSettings,
    Site,
)
from coursework.services.removal import is_held
from coursework.timetable.problem import WHOLE, Answer, Party, Place, Problem, Stay, Task, Worker
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
    "lessons": gettext_lazy("lessons that come before it have not been held"),
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
    lessons_held: bool = False
    now: datetime


@dataclass(frozen=True)
class Question:
    """The problem with what its numbers stand for."""

    asked: Asked
    problem: Problem
    origin: datetime
    replaced: tuple[Drill, ...]
    """Drills that are planned and not pinned: they make room and move to their new hours."""
    untaught: dict[int, list[Lesson]] = field(default_factory=dict)
    """By exercise the lessons that are not held yet."""

    def at(self, minute: int) -> datetime:
        return self.origin + timedelta(minutes=minute)

    def answer_lines(self, answer: "Answer | Proposal") -> list[str]:
        """What could not be placed and why, one sentence for each exercise and reason."""
        names = {group.pk: group.name for group in self.asked.groups}
        titles = {exercise.pk: exercise.title for exercise in self.asked.exercises}
        why: dict[tuple[int, str], list[str]] = defaultdict(list)
        for one in answer.missing:
            untaught = one.why == "no-hour" and one.task in self._held_back
            reason = "lessons" if untaught else one.why
            why[one.task, reason].append(names.get(one.party, _("the whole cohort")))
        return [
            _("%(exercise)s (%(groups)s): %(why)s.")
            % {"exercise": titles[task], "groups": ", ".join(groups), "why": WHY[reason]}
            for (task, reason), groups in why.items()
        ]

    @property
    def _held_back(self) -> set[int]:
        return set() if self.asked.lessons_held else set(self.untaught)


def question_of(asked: Asked) -> Question:
    """Reads what is booked already; nothing is changed."""
    origin = datetime.combine(asked.hours.first, time(), UTC) - timedelta(days=1)
    last = datetime.combine(asked.hours.last, time(), UTC) + timedelta(days=2)
    untaught = untaught_of(asked)
    replaced, others = _drills(asked, origin, last)
    students = _students(asked)
    windows = windows_of(asked.sites, asked.hours, asked.minutes)
    booked = _Booked(others, origin, asked.gap, students)
    held_back = set() if asked.lessons_held else set(untaught)
    after = orders_of(asked)
    tasks = []
    for exercise in asked.exercises:
        starts: dict[int, dict[int, int]] = {}
        for site in asked.sites if exercise.pk not in held_back else ():
            allowed = windows[site.pk].allowed(exercise)
            starts[site.pk] = {
                _minute(at, origin): cost for at, cost in allowed.items() if at > asked.now
            }
        tasks.append(Task(key=exercise.pk, starts=starts, after=after[exercise.pk]))
    settings = SchoolSettings.of(asked.cohort.course.school)
    problem = Problem(
        minutes=asked.minutes,
        gap=asked.gap,
        tasks=tuple(tasks),
        parties=tuple(
            Party(key=key, size=len(people), away=booked.of_students(people))
            for key, people in students.items()
        ),
        places=tuple(
            Place(
                key=site.pk,
                room=site.drills_at_once,
                students_per_instructor=site.students_per_instructor
                or settings.students_per_instructor,
                busy=booked.of_site(site.pk),
            )
            for site in asked.sites
        ),
        workers=_workers(asked, booked, origin, last),
        fixed=_fixed(asked, others, origin, students),
        ways=_ways(asked, others, settings.travel_kmh),
    )
    return Question(asked, problem, origin, tuple(replaced), untaught)


def _ways(asked: Asked, others: list[Drill], speed_kmh: float) -> dict[tuple[int, int], int]:
    """From each site asked for to the others, and to those of drills that stand."""
    sites = {site.pk: site for site in (*asked.sites, *(drill.site for drill in others))}
    return {
        (here.pk, there.pk): way_min(here, there, speed_kmh=speed_kmh)
        for here in asked.sites
        for there in sites.values()
        if here.pk != there.pk
    }


def _minute(at: datetime, origin: datetime) -> int:
    return round((at - origin).total_seconds() / 60.0)


def untaught_of(asked: Asked) -> dict[int, list[Lesson]]:
    held = held_lessons(asked.cohort.pk)
    needed = lessons_before(_lessons(asked))
    chosen = {exercise.pk for exercise in asked.exercises}
    found = {
        exercise: [lesson for lesson in lessons if lesson.key not in held]
        for exercise, lessons in needed.items()
        if exercise in chosen
    }
    return {exercise: lessons for exercise, lessons in found.items() if lessons}


def _lessons(asked: Asked) -> list[Lesson]:
    lessons = Lesson.objects.filter(course=asked.cohort.course_id)
    return list(lessons.prefetch_related("prerequisites", "exercises"))


def orders_of(asked: Asked) -> dict[int, frozenset[int]]:
    """An exercise comes after those of the lessons that its own lessons rest on."""
    lessons = _lessons(asked)
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


def _drills(asked: Asked, first: datetime, last: datetime) -> tuple[list[Drill], list[Drill]]:
    """Those that the answer may move, and those that stand."""
    rows = (
        Drill.objects.filter(site__school=asked.cohort.course.school_id)
        .going_ahead()
        .between(first - timedelta(days=1), last)
        .with_places()
        .with_people()
    )
    chosen = {exercise.pk for exercise in asked.exercises}
    movable, standing = [], []
    for drill in rows:
        day = drill.local_start.date()
        may_move = (
            drill.cohort_id == asked.cohort.pk
            and not drill.pinned
            and drill.exercise_id in chosen
            and asked.hours.first <= day <= asked.hours.last
            and drill.starts_at > asked.now
            and not is_held(drill)
        )
        (movable if may_move else standing).append(drill)
    return movable, standing


def _students(asked: Asked) -> dict[int, frozenset[int]]:
    """By group, or WHOLE, the students who are enrolled."""
    enrolled = frozenset(
        asked.cohort.enrolments.filter(role=Role.STUDENT).values_list("person", flat=True)
    )
    if not asked.groups:
        return {WHOLE: enrolled}
    found: dict[int, set[int]] = {group.pk: set() for group in asked.groups}
    rows = Group.students.through.objects.filter(group__in=asked.groups)
    for group, person in rows.values_list("group", "person"):
        found[group].add(person)
    return {key: frozenset(people & enrolled) for key, people in found.items()}


class _Booked:
    """What the drills that stand take, as spans; a gap is kept after each."""

    def __init__(self, drills: list[Drill], origin: datetime, gap: int, students) -> None:
        self._spans = [
            (
                drill,
                (_minute(drill.starts_at, origin), _minute(drill.ends_at, origin) + gap),
            )
            for drill in drills
        ]
        cohorts = {drill.cohort_id for drill in drills}
        self._of_cohort: dict[int, set[int]] = defaultdict(set)
        rows = Enrolment.objects.filter(cohort__in=cohorts, role=Role.STUDENT).order_by()
        for cohort, person in rows.values_list("cohort", "person"):
            self._of_cohort[cohort].add(person)
        groups = {group.pk for drill in drills for group in drill.groups.all()}
        self._of_group: dict[int, set[int]] = defaultdict(set)
        rows = Group.students.through.objects.filter(group__in=groups)
        for group, person in rows.values_list("group", "person"):
            self._of_group[group].add(person)

    def _taken(self, drill: Drill) -> set[int]:
        groups = [self._of_group[group.pk] for group in drill.groups.all()]
        return set().union(*groups) if groups else self._of_cohort[drill.cohort_id]

    def of_students(self, people: frozenset[int]):
        return self._stays(lambda drill: people & self._taken(drill))

    def _stays(self, wanted) -> tuple[Stay, ...]:
        return tuple(Stay(*span, drill.site_id) for drill, span in self._spans if wanted(drill))

    def of_site(self, site: int):
        return tuple(span for drill, span in self._spans if drill.site_id == site)

    def of_person(self, person: int):
        return self._stays(
            lambda drill: (
                drill.lead_id == person or person in {one.pk for one in drill.assistants.all()}
            )
        )


def _workers(asked: Asked, booked: _Booked, origin: datetime, last: datetime):
    """Each with the drills they are at, and no time after an approval has lapsed."""
    held = Approval.objects.last_days([person.pk for person in asked.staff])
    end = _minute(last, origin)
    found = []
    for person in asked.staff:
        busy = []
        if days := held.get(person.pk):
            lapses = datetime.combine(min(days.values()) + timedelta(days=1), time(), UTC)
            # From the earliest midnight of any zone on: rather too careful than not enough.
            begin = max(0, _minute(lapses, origin) - 14 * 60)
            if begin < end:
                busy.append((begin, end))
        away = booked.of_person(person.pk)
        found.append(Worker(key=person.pk, busy=tuple(busy), away=away))
    return tuple(found)


def _fixed(asked: Asked, others: list[Drill], origin: datetime, students):
    """Sessions of the cohort that stand on the dates asked for, by exercise and group."""
    found = {}
    for drill in others:
        day = drill.local_start.date()
        if drill.cohort_id != asked.cohort.pk or not asked.hours.first <= day <= asked.hours.last:
            continue
        groups = {group.pk for group in drill.groups.all()}
        span = (_minute(drill.starts_at, origin), _minute(drill.ends_at, origin))
        for key in students:
            if key in groups or not groups:
                found[drill.exercise_id, key] = span
    return found
