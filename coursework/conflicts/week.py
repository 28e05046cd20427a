"""What speaks against many planned drills and lessons, found in as many queries as for one."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from uuid import UUID

from coursework.conflicts import AnyPlan, Conflict, LessonPlan, Plan, conflicts_of_plan
from coursework.conflicts.plan import (
    LONGEST_WAY,
    Surroundings,
    bookings_around,
    plan_of,
    planned_of,
    sort_out,
    sorted_around,
    students_by,
)
from coursework.models import (
    Approval,
    Attendance,
    Drill,
    Lesson,
    LessonException,
    PlanException,
    PlannedLesson,
    School,
    SchoolSettings,
)
from coursework.models.bookings import Booking


def open_conflicts_of(school: School, bookings: Iterable[Booking]) -> dict[str, list[Conflict]]:
    """By the `ref` of each of a school, what nobody has taken on; those without any left out.

    Cancelled ones have none. What is loaded does not grow with the number of them.
    """
    wanted = [one for one in bookings if not one.is_cancelled]
    if not wanted:
        return {}
    drills = [one.pk for one in wanted if not one.is_lesson]
    lessons = [one.pk for one in wanted if one.is_lesson]
    plans: list[AnyPlan] = []
    taken = set()
    if drills:
        rows = Drill.objects.filter(pk__in=drills).with_places().with_people()
        rows = rows.prefetch_related("site__marks").order_by("starts_at", "id")
        plans += [Plan.of(drill) for drill in rows]
        kept = PlanException.objects.filter(drill__in=drills)
        taken |= {(str(pk), key) for pk, key in kept.values_list("drill", "key")}
    if lessons:
        rows = PlannedLesson.objects.filter(pk__in=lessons).with_places().with_people()
        plans += [LessonPlan.of(one) for one in rows.order_by("starts_at", "id")]
        kept = LessonException.objects.filter(planned_lesson__in=lessons)
        taken |= {(f"l{pk}", key) for pk, key in kept.values_list("planned_lesson", "key")}
    known = _Known(school, plans)
    found = {}
    for plan in plans:
        all_ = conflicts_of_plan(plan, known.around(plan))
        still = [one for one in all_ if (plan.booking.ref, one.key) not in taken]
        if still:
            found[plan.booking.ref] = still
    return found


class _Known:
    """What is so at the school around all of the plans."""

    def __init__(self, school: School, plans: Sequence[AnyPlan]) -> None:
        first = min(plan.booking.starts_at for plan in plans) - LONGEST_WAY
        last = max(plan.booking.ends_at for plan in plans) + LONGEST_WAY
        self.bookings = bookings_around(school, first, last)
        self.settings = SchoolSettings.of(school)
        people = {person.pk for plan in plans for person in plan.staff}
        self.approvals = Approval.objects.last_days(sorted(people))
        self._read_lessons(plans)
        self._read_students([*plans, *(plan_of(one) for one in self.bookings)])

    def _read_students(self, plans: Sequence[AnyPlan]) -> None:
        cohorts = {plan.booking.cohort_id for plan in plans}
        groups = {group.pk for plan in plans for group in plan.groups}
        groups |= {group.pk for one in self.planned for group in one.groups.all()}
        of_cohort, of_group = students_by(cohorts, groups)
        self.students: dict[str, frozenset[int]] = {}
        every = [(plan.booking, plan.groups) for plan in plans]
        every += [(one, tuple(one.groups.all())) for one in self.planned]
        for booking, its_groups in every:
            enrolled = of_cohort[booking.cohort_id]
            grouped = set().union(*(of_group[group.pk] for group in its_groups))
            self.students[booking.ref] = frozenset(enrolled & grouped if its_groups else enrolled)

    def _read_lessons(self, plans: Sequence[AnyPlan]) -> None:
        cohorts = {plan.booking.cohort_id for plan in plans}
        of_course: dict[int, list[Lesson]] = defaultdict(list)
        lessons = Lesson.objects.filter(course__in={plan.course for plan in plans})
        for lesson in lessons.prefetch_related("prerequisites", "exercises"):
            of_course[lesson.course_id].append(lesson)
        self.needed = {plan.booking.ref: plan.needs(of_course[plan.course]) for plan in plans}
        self.held: dict[int, set[UUID]] = defaultdict(set)
        rows = Attendance.objects.standing().filter(cohort__in=cohorts, present=True)
        for cohort, key in rows.order_by().values_list("cohort", "lesson_key"):
            self.held[cohort].add(key)
        every = {lesson for some in self.needed.values() for lesson in some}
        self.planned = list(planned_of(cohorts, every)) if every else []

    def around(self, plan: AnyPlan) -> Surroundings:
        """The same as `Surroundings.of` reads for one plan."""
        booking = plan.booking
        others, near = sorted_around(booking, self.bookings)
        staff = {person.pk for person in plan.staff}
        held = self.held[booking.cohort_id]
        students = self.students[booking.ref]
        untaught, awaited = sort_out(
            [lesson for lesson in self.needed[booking.ref] if lesson.key not in held],
            [one for one in self.planned if one.cohort_id == booking.cohort_id],
            students=students,
            students_of=self.students,
            by=booking.starts_at,
        )
        return Surroundings(
            others=others,
            near=near,
            students=students,
            students_of={one.ref: self.students[one.ref] for one in (*others, *near)},
            settings=self.settings,
            approvals={pk: kinds for pk, kinds in self.approvals.items() if pk in staff},
            untaught=untaught,
            awaited=awaited,
        )
