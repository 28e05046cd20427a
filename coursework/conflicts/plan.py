"""A drill or a lesson as it is planned, saved or not, and what its conflicts rest on."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from uuid import UUID

from coursework.models import (
    Approval,
    Attendance,
    Drill,
    Enrolment,
    Group,
    Lesson,
    Person,
    PlannedLesson,
    Role,
    School,
    SchoolSettings,
)
from coursework.models.bookings import Booking
from coursework.ways import LONGEST_MIN

LONGEST_WAY = timedelta(minutes=LONGEST_MIN)


@dataclass(frozen=True, kw_only=True)
class _Wanted:
    """Who is in what is planned. `groups` empty: the whole cohort."""

    lead: Person | None = None
    assistants: tuple[Person, ...] = ()
    groups: tuple[Group, ...] = ()

    @property
    def booking(self) -> Booking:
        raise TypeError("A plan is one of a drill or of a lesson.")

    @property
    def staff(self) -> tuple[Person, ...]:
        """Lead and assistants, each once."""
        people = (self.lead, *self.assistants) if self.lead else self.assistants
        return tuple(dict.fromkeys(people))

    @property
    def day(self) -> date:
        return self.booking.local_start.date()

    @property
    def held_when(self) -> str:
        """Start in UTC and length, however the start is given."""
        booking = self.booking
        return f"{booking.starts_at.astimezone(UTC):%Y%m%dT%H%M},{booking.minutes}"


@dataclass(frozen=True, kw_only=True)
class Plan(_Wanted):
    """A drill with its cohort, exercise, site and start set, and who is in it."""

    drill: Drill

    @classmethod
    def of(cls, drill: Drill) -> "Plan":
        """That of a saved drill."""
        return cls(drill=drill, **_people_of(drill))

    @property
    def booking(self) -> Drill:
        return self.drill

    @property
    def school(self) -> School:
        return self.drill.site.school

    @property
    def held_where_and_when(self) -> str:
        """What a conflict about the place and the hour rests on."""
        return f"x{self.drill.exercise_id},s{self.drill.site_id},{self.held_when}"

    def needs(self, lessons: Sequence[Lesson]) -> list[Lesson]:
        """Of the lessons of its course those that come before it."""
        return lessons_before(lessons).get(self.drill.exercise_id, [])

    @property
    def course(self) -> int:
        """The number of the course version that it is of."""
        return self.drill.exercise.course_id


@dataclass(frozen=True, kw_only=True)
class LessonPlan(_Wanted):
    """A planned lesson with its cohort, lesson, place and start set, and who is in it."""

    planned: PlannedLesson

    @classmethod
    def of(cls, planned: PlannedLesson) -> "LessonPlan":
        """That of a saved one."""
        return cls(planned=planned, **_people_of(planned))

    @property
    def booking(self) -> PlannedLesson:
        return self.planned

    @property
    def school(self) -> School:
        return self.planned.cohort.course.school

    def needs(self, lessons: Sequence[Lesson]) -> list[Lesson]:
        chain = chains(lessons).get(self.planned.lesson_id, {})
        return _in_order(one for pk, one in chain.items() if pk != self.planned.lesson_id)

    @property
    def course(self) -> int:
        return self.planned.lesson.course_id


AnyPlan = Plan | LessonPlan


def _people_of(booking: Booking) -> dict:
    return {
        "lead": booking.lead,
        "assistants": tuple(booking.assistants.all()),
        "groups": tuple(booking.groups.all()),
    }


def plan_of(booking: Booking) -> AnyPlan:
    return LessonPlan.of(booking) if booking.is_lesson else Plan.of(booking)


@dataclass(frozen=True, kw_only=True)
class Surroundings:
    """What else is so at the school then, cancelled drills and lessons aside.

    `others` run at the same time, `near` within a day before or after at other sites.
    """

    others: tuple[Booking, ...]
    near: tuple[Booking, ...]
    students: frozenset[int]
    """The students (primary keys) whom the plan takes out."""
    students_of: dict[str, frozenset[int]]
    """The same of each of `others` and `near`, by its `ref`."""
    settings: SchoolSettings
    approvals: dict[int, dict[str, date]]
    untaught: tuple[Lesson, ...] = field(default=())
    """Lessons that come before and are neither held with the cohort nor planned to end by then."""
    awaited: tuple[PlannedLesson, ...] = field(default=())
    """Planned lessons that come before and end by then, of lessons not held yet."""

    @classmethod
    def of(cls, plan: AnyPlan) -> "Surroundings":
        """In a number of queries that depends on nothing."""
        booking = plan.booking
        others, near = _others(plan)
        needed = plan.needs(lessons_of(plan.course))
        held = held_lessons(booking.cohort_id) if needed else set()
        needed = [lesson for lesson in needed if lesson.key not in held]
        planned = list(planned_of([booking.cohort_id], needed)) if needed else []
        students, students_of = _students(plan, (*others, *near, *planned))
        untaught, awaited = sort_out(
            needed, planned, students=students, students_of=students_of, by=booking.starts_at
        )
        return cls(
            others=others,
            near=near,
            students=students,
            students_of=students_of,
            settings=SchoolSettings.of(plan.school),
            approvals=Approval.objects.last_days([person.pk for person in plan.staff]),
            untaught=untaught,
            awaited=awaited,
        )


def bookings_around(school: School | int, first: datetime, last: datetime) -> list[Booking]:
    """All of a school that may run between two instants and go ahead, in the order of starts."""
    drills = Drill.objects.filter(site__school=school)
    lessons = PlannedLesson.objects.filter(cohort__course__school=school)
    found: list[Booking] = []
    for rows in (drills, lessons):
        rows = rows.going_ahead().overlapping(first, last).with_places().with_people()
        found += rows.order_by("starts_at", "id")
    return sorted(found, key=lambda one: one.starts_at)


def is_itself(one: Booking, other: Booking) -> bool:
    return other.pk is not None and one.ref == other.ref


def sorted_around(
    booking: Booking, around: Iterable[Booking]
) -> tuple[tuple[Booking, ...], tuple[Booking, ...]]:
    """Those at the same time, and those within the longest way at other sites."""
    others, near = [], []
    for other in around:
        if is_itself(other, booking):
            continue
        if other.runs_between(booking.starts_at, booking.ends_at):
            others.append(other)
        elif (
            None not in (other.site_id, booking.site_id)
            and other.site_id != booking.site_id
            and other.runs_between(booking.starts_at - LONGEST_WAY, booking.ends_at + LONGEST_WAY)
        ):
            near.append(other)
    return tuple(others), tuple(near)


def _others(plan: AnyPlan) -> tuple[tuple[Booking, ...], tuple[Booking, ...]]:
    booking = plan.booking
    first, last = booking.starts_at - LONGEST_WAY, booking.ends_at + LONGEST_WAY
    return sorted_around(booking, bookings_around(plan.school, first, last))


def students_by(
    cohorts: Collection[int], groups: Collection[int]
) -> tuple[Mapping[int, set[int]], Mapping[int, set[int]]]:
    """The enrolled students by cohort, and those of each group, in two queries."""
    of_cohort: dict[int, set[int]] = defaultdict(set)
    rows = Enrolment.objects.filter(cohort__in=cohorts, role=Role.STUDENT).order_by()
    for cohort, person in rows.values_list("cohort", "person"):
        of_cohort[cohort].add(person)
    of_group: dict[int, set[int]] = defaultdict(set)
    rows = Group.students.through.objects.filter(group__in=groups)
    for group, person in rows.values_list("group", "person"):
        of_group[group].add(person)
    return of_cohort, of_group


def _students(plan: AnyPlan, others: Sequence[Booking]):
    """Whom the plan and each of the others take out."""
    cohorts = {plan.booking.cohort_id, *(other.cohort_id for other in others)}
    groups = {group.pk for group in plan.groups}
    groups |= {group.pk for other in others for group in other.groups.all()}
    of_cohort, of_group = students_by(cohorts, groups)

    def taken(cohort: int, its_groups) -> frozenset[int]:
        enrolled = of_cohort[cohort]
        if not its_groups:
            return frozenset(enrolled)
        return frozenset(enrolled & set().union(*(of_group[group.pk] for group in its_groups)))

    return (
        taken(plan.booking.cohort_id, plan.groups),
        {other.ref: taken(other.cohort_id, other.groups.all()) for other in others},
    )


def lessons_of(course: int) -> list[Lesson]:
    """Those of a course version, with what comes before them and what they come before."""
    lessons = Lesson.objects.filter(course=course)
    return list(lessons.prefetch_related("prerequisites", "exercises"))


def planned_of(cohorts: Collection[int], lessons: Iterable[Lesson]):
    """Planned lessons of cohorts that go ahead, of some lessons in whatever version."""
    rows = PlannedLesson.objects.going_ahead().filter(
        cohort__in=cohorts, lesson__key__in={lesson.key for lesson in lessons}
    )
    rows = rows.select_related("lesson", "site").prefetch_related("groups")
    return rows.order_by("starts_at", "id")


def sort_out(
    needed: Sequence[Lesson],
    planned: Iterable[PlannedLesson],
    *,
    students: frozenset[int],
    students_of: Mapping[str, frozenset[int]],
    by: datetime,
) -> tuple[tuple[Lesson, ...], tuple[PlannedLesson, ...]]:
    """Of lessons not held, those not planned to end by an instant for all of the students, and
    the planned ones of the others."""
    of_lesson: dict[UUID, list[PlannedLesson]] = defaultdict(list)
    for one in planned:
        if one.ends_at <= by:
            of_lesson[one.lesson.key].append(one)
    untaught, awaited = [], []
    for lesson in needed:
        some = of_lesson[lesson.key]
        covered = frozenset().union(*(students_of[one.ref] for one in some))
        if some and students <= covered:
            awaited += [one for one in some if not students or students & students_of[one.ref]]
        else:
            untaught.append(lesson)
    return tuple(untaught), tuple(sorted(awaited, key=lambda one: (one.starts_at, one.pk)))


def held_lessons(cohort: int) -> set[UUID]:
    """The keys of the lessons at which someone of a cohort was present."""
    rows = Attendance.objects.standing().filter(cohort=cohort, present=True)
    return set(rows.order_by().values_list("lesson_key", flat=True))


def chains(lessons: Iterable[Lesson]) -> dict[int, dict[int, Lesson]]:
    """By lesson (primary key) itself and all that come before it.

    `lessons` are those of one course version, with prerequisites prefetched.
    """
    by_pk = {lesson.pk: lesson for lesson in lessons}
    return {pk: dict(_chain(lesson, by_pk)) for pk, lesson in by_pk.items()}


def _chain(lesson: Lesson, by_pk: dict[int, Lesson]) -> Iterator[tuple[int, Lesson]]:
    seen, ahead = set(), [lesson]
    while ahead:
        one = ahead.pop()
        if one.pk not in seen:
            seen.add(one.pk)
            ahead += [by_pk[p.pk] for p in one.prerequisites.all() if p.pk in by_pk]
            yield one.pk, one


def _in_order(lessons: Iterable[Lesson]) -> list[Lesson]:
    return sorted(lessons, key=lambda lesson: (lesson.position, lesson.pk))


def lessons_before(lessons: Sequence[Lesson]) -> dict[int, list[Lesson]]:
    """By exercise (primary key) the lessons that come before it, and those before them.

    `lessons` are those of one course version, with prerequisites and exercises prefetched.
    """
    of_lesson = chains(lessons)
    needed: dict[int, dict[int, Lesson]] = defaultdict(dict)
    for lesson in lessons:
        for exercise in lesson.exercises.all():
            needed[exercise.pk] |= of_lesson[lesson.pk]
    return {exercise: _in_order(chain.values()) for exercise, chain in needed.items()}
