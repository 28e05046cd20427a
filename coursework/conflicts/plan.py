"""A drill as it is planned, saved or not, and what has to be known to find its conflicts."""

from collections import defaultdict
from dataclasses import dataclass, field
from datetime import UTC, date, timedelta
from uuid import UUID

from coursework.models import (
    Approval,
    Attendance,
    Drill,
    Enrolment,
    Group,
    Lesson,
    Person,
    Role,
    SchoolSettings,
)
from coursework.ways import LONGEST_MIN

LONGEST_WAY = timedelta(minutes=LONGEST_MIN)


@dataclass(frozen=True, kw_only=True)
class Plan:
    """A drill with its cohort, exercise, site and start set, and who is in it.

    `groups` empty: the whole cohort.
    """

    drill: Drill
    lead: Person | None = None
    assistants: tuple[Person, ...] = ()
    groups: tuple[Group, ...] = ()

    @classmethod
    def of(cls, drill: Drill) -> "Plan":
        """That of a saved drill."""
        return cls(
            drill=drill,
            lead=drill.lead,
            assistants=tuple(drill.assistants.all()),
            groups=tuple(drill.groups.all()),
        )

    @property
    def staff(self) -> tuple[Person, ...]:
        """Lead and assistants, each once."""
        people = (self.lead, *self.assistants) if self.lead else self.assistants
        return tuple(dict.fromkeys(people))

    @property
    def day(self) -> date:
        return self.drill.local_start.date()

    @property
    def held_where_and_when(self) -> str:
        """What a conflict about the place and the hour rests on."""
        return f"x{self.drill.exercise_id},s{self.drill.site_id},{self.held_when}"

    @property
    def held_when(self) -> str:
        """Start in UTC and length, however the start is given."""
        return f"{self.drill.starts_at.astimezone(UTC):%Y%m%dT%H%M},{self.drill.minutes}"


@dataclass(frozen=True, kw_only=True)
class Surroundings:
    """What else is so at the school then, cancelled drills aside.

    `others` run at the same time, `near` within a day before or after at other sites.
    """

    others: tuple[Drill, ...]
    near: tuple[Drill, ...]
    students: frozenset[int]
    """The students (primary keys) whom the plan takes out."""
    students_of: dict[int, frozenset[int]]
    """The same of each of `others` and `near`, by primary key."""
    settings: SchoolSettings
    approvals: dict[int, dict[str, date]]
    untaught: tuple[Lesson, ...] = field(default=())
    """Lessons that come before the exercise and have not been held with the cohort."""

    @classmethod
    def of(cls, plan: Plan) -> "Surroundings":
        """In a number of queries that depends on nothing."""
        others, near = _others(plan)
        students, students_of = _students(plan, (*others, *near))
        return cls(
            others=others,
            near=near,
            students=students,
            students_of=students_of,
            settings=SchoolSettings.of(plan.drill.site.school),
            approvals=Approval.objects.last_days([person.pk for person in plan.staff]),
            untaught=tuple(_untaught(plan.drill)),
        )


def _others(plan: Plan) -> tuple[tuple[Drill, ...], tuple[Drill, ...]]:
    """Those at the same time, and those within the longest way at other sites."""
    drill = plan.drill
    rows = (
        Drill.objects.filter(site__school=drill.site.school_id)
        .going_ahead()
        .overlapping(drill.starts_at - LONGEST_WAY, drill.ends_at + LONGEST_WAY)
        .exclude(pk=drill.pk)
        .with_places()
        .with_people()
        .order_by("starts_at", "id")
    )
    others, near = [], []
    for other in rows:
        if other.runs_between(drill.starts_at, drill.ends_at):
            others.append(other)
        elif other.site_id != drill.site_id and other.runs_between(
            drill.starts_at - LONGEST_WAY, drill.ends_at + LONGEST_WAY
        ):
            near.append(other)
    return tuple(others), tuple(near)


def _students(plan: Plan, others: tuple[Drill, ...]):
    """Whom the plan and each of the others take out."""
    cohorts = {plan.drill.cohort_id, *(other.cohort_id for other in others)}
    of_cohort: dict[int, set[int]] = defaultdict(set)
    rows = Enrolment.objects.filter(cohort__in=cohorts, role=Role.STUDENT).order_by()
    for cohort, person in rows.values_list("cohort", "person"):
        of_cohort[cohort].add(person)
    groups = {group.pk for group in plan.groups}
    groups |= {group.pk for other in others for group in other.groups.all()}
    of_group: dict[int, set[int]] = defaultdict(set)
    rows = Group.students.through.objects.filter(group__in=groups)
    for group, person in rows.values_list("group", "person"):
        of_group[group].add(person)

    def taken(cohort: int, its_groups) -> frozenset[int]:
        enrolled = of_cohort[cohort]
        if not its_groups:
            return frozenset(enrolled)
        return frozenset(enrolled & set().union(*(of_group[group.pk] for group in its_groups)))

    return (
        taken(plan.drill.cohort_id, plan.groups),
        {other.pk: taken(other.cohort_id, other.groups.all()) for other in others},
    )


def _untaught(drill: Drill) -> list[Lesson]:
    lessons = Lesson.objects.filter(course=drill.exercise.course_id).prefetch_related(
        "prerequisites", "exercises"
    )
    needed = lessons_before(list(lessons)).get(drill.exercise_id, [])
    held = held_lessons(drill.cohort_id)
    return [lesson for lesson in needed if lesson.key not in held]


def held_lessons(cohort: int) -> set[UUID]:
    """The keys of the lessons at which someone of a cohort was present."""
    rows = Attendance.objects.standing().filter(cohort=cohort, present=True)
    return set(rows.order_by().values_list("lesson_key", flat=True))


def lessons_before(lessons: list[Lesson]) -> dict[int, list[Lesson]]:
    """By exercise (primary key) the lessons that come before it, and those before them.

    `lessons` are those of one course version, with prerequisites and exercises prefetched.
    """
    by_pk = {lesson.pk: lesson for lesson in lessons}
    needed: dict[int, dict[int, Lesson]] = defaultdict(dict)
    for lesson in lessons:
        chain, ahead = {}, [lesson]
        while ahead:
            one = ahead.pop()
            if one.pk not in chain:
                chain[one.pk] = one
                ahead += [by_pk[p.pk] for p in one.prerequisites.all() if p.pk in by_pk]
        for exercise in lesson.exercises.all():
            needed[exercise.pk] |= chain
    return {
        exercise: sorted(chain.values(), key=lambda lesson: (lesson.position, lesson.pk))
        for exercise, chain in needed.items()
    }
