"""What speaks against many planned drills, found in as many queries as for one."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from uuid import UUID

from coursework.conflicts import Conflict, conflicts_of_plan
from coursework.conflicts.plan import LONGEST_WAY, Plan, Surroundings, lessons_before
from coursework.models import (
    Approval,
    Attendance,
    Drill,
    Enrolment,
    Group,
    Lesson,
    PlanException,
    Role,
    School,
    SchoolSettings,
)


def open_conflicts_of(school: School, drills: Iterable[Drill]) -> dict[int, list[Conflict]]:
    """By drill (primary key) of a school, what nobody has taken on; drills without any left out.

    Cancelled ones have none. What is loaded does not grow with the number of drills.
    """
    wanted = [drill.pk for drill in drills if not drill.is_cancelled]
    if not wanted:
        return {}
    plans = [
        Plan.of(drill)
        for drill in Drill.objects.filter(pk__in=wanted)
        .with_places()
        .with_people()
        .prefetch_related("site__marks")
        .order_by("starts_at", "id")
    ]
    known = _Known(school, plans)
    rows = PlanException.objects.filter(drill__in=wanted).values_list("drill", "key")
    taken = set(rows)
    found = {}
    for plan in plans:
        all_ = conflicts_of_plan(plan, known.around(plan))
        still = [one for one in all_ if (plan.drill.pk, one.key) not in taken]
        if still:
            found[plan.drill.pk] = still
    return found


class _Known:
    """What is so at the school around all of the plans."""

    def __init__(self, school: School, plans: Sequence[Plan]) -> None:
        first = min(plan.drill.starts_at for plan in plans) - LONGEST_WAY
        last = max(plan.drill.ends_at for plan in plans) + LONGEST_WAY
        self.drills = list(
            Drill.objects.filter(site__school=school)
            .going_ahead()
            .overlapping(first, last)
            .with_places()
            .with_people()
            .order_by("starts_at", "id")
        )
        self.settings = SchoolSettings.of(school)
        people = {person.pk for plan in plans for person in plan.staff}
        self.approvals = Approval.objects.last_days(sorted(people))
        self._read_students([*plans, *(Plan.of(drill) for drill in self.drills)])
        self._read_lessons(plans)

    def _read_students(self, plans: Sequence[Plan]) -> None:
        cohorts = {plan.drill.cohort_id for plan in plans}
        groups = {group.pk for plan in plans for group in plan.groups}
        of_cohort: dict[int, set[int]] = defaultdict(set)
        rows = Enrolment.objects.filter(cohort__in=cohorts, role=Role.STUDENT).order_by()
        for cohort, person in rows.values_list("cohort", "person"):
            of_cohort[cohort].add(person)
        of_group: dict[int, set[int]] = defaultdict(set)
        rows = Group.students.through.objects.filter(group__in=groups)
        for group, person in rows.values_list("group", "person"):
            of_group[group].add(person)
        self.students: dict[int, frozenset[int]] = {}
        for plan in plans:
            enrolled = of_cohort[plan.drill.cohort_id]
            grouped = set().union(*(of_group[group.pk] for group in plan.groups))
            self.students[plan.drill.pk] = frozenset(
                enrolled & grouped if plan.groups else enrolled
            )

    def _read_lessons(self, plans: Sequence[Plan]) -> None:
        courses = {plan.drill.exercise.course_id for plan in plans}
        lessons = Lesson.objects.filter(course__in=courses)
        self.needed = lessons_before(list(lessons.prefetch_related("prerequisites", "exercises")))
        self.held: dict[int, set[UUID]] = defaultdict(set)
        rows = Attendance.objects.standing().filter(
            cohort__in={plan.drill.cohort_id for plan in plans}, present=True
        )
        for cohort, key in rows.order_by().values_list("cohort", "lesson_key"):
            self.held[cohort].add(key)

    def around(self, plan: Plan) -> Surroundings:
        """The same as `Surroundings.of` reads for one plan."""
        drill = plan.drill
        begin, end = drill.starts_at, drill.ends_at
        there = [one for one in self.drills if one.pk != drill.pk]
        others = [one for one in there if one.runs_between(begin, end)]
        near = [
            one
            for one in there
            if one not in others
            and one.site_id != drill.site_id
            and one.runs_between(begin - LONGEST_WAY, end + LONGEST_WAY)
        ]
        staff = {person.pk for person in plan.staff}
        held = self.held[drill.cohort_id]
        return Surroundings(
            others=tuple(others),
            near=tuple(near),
            students=self.students[drill.pk],
            students_of={one.pk: self.students[one.pk] for one in (*others, *near)},
            settings=self.settings,
            approvals={pk: kinds for pk, kinds in self.approvals.items() if pk in staff},
            untaught=tuple(
                lesson
                for lesson in self.needed.get(drill.exercise_id, [])
                if lesson.key not in held
            ),
        )
