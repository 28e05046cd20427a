"""The lessons of a cohort, and who was at each."""

from uuid import UUID

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from coursework import policies, services
from coursework.forms.lessons import AttendanceForm
from coursework.forms.planned_lessons import zone_of
from coursework.models import Attendance, Cohort, Enrolment, Lesson, PlannedLesson, Role
from coursework.views.pages import form_page


def cohort_lessons(request: HttpRequest, pk: int) -> HttpResponse:
    """Each lesson with when it is planned and the numbers present and absent.

    Students see their own marks.
    """
    cohort = _visible(request, pk)
    may_assess = policies.may_assess(request.user, cohort)
    marks = Attendance.objects.filter(cohort=cohort).standing()
    students = _student_numbers(cohort)
    own = request.user.pk in students
    counted: dict = {}
    mine: dict = {}
    for key, person, present in marks.order_by().values_list("lesson_key", "person", "present"):
        if person in students:
            row = counted.setdefault(key, {True: 0, False: 0})
            row[present] += 1
        if person == request.user.pk:
            mine[key] = present
    lessons = list(cohort.course.lessons.order_by("position", "id"))
    when: dict[UUID, list[PlannedLesson]] = {}
    visible = policies.visible_planned_lessons(request.user).filter(cohort=cohort)
    for planned in visible.with_places().prefetch_related("groups").order_by("starts_at", "id"):
        when.setdefault(planned.lesson.key, []).append(planned)
    gone = counted.keys() - {lesson.key for lesson in lessons}
    # Marks outlast a lesson that a newer version of the course left out.
    earlier = {
        row.lesson_key: row.lesson
        for row in marks.filter(lesson_key__in=gone).select_related("lesson__course")
    }

    def row_of(lesson):
        here = counted.get(lesson.key, {True: 0, False: 0})
        return {
            "lesson": lesson,
            "present": here[True],
            "absent": here[False],
            "mine": mine.get(lesson.key),
            "planned": when.get(lesson.key, []),
        }

    return render(
        request,
        "coursework/cohort_lessons.html",
        {
            "cohort": cohort,
            "rows": [row_of(lesson) for lesson in lessons],
            "earlier": [row_of(lesson) for lesson in earlier.values()],
            "number": len(students),
            "own": own,
            "may_assess": may_assess,
            "may_arrange": policies.may_arrange(request.user, cohort),
        },
    )


def attendance(request: HttpRequest, cohort_pk: int, pk: int) -> HttpResponse:
    cohort = _visible(request, cohort_pk)
    policies.require(policies.may_assess(request.user, cohort))
    lesson = policies.get_visible(cohort.course.lessons, pk=pk)
    enrolments = cohort.enrolments.filter(role=Role.STUDENT).select_related("person")
    return attendance_page(
        request,
        cohort,
        lesson,
        enrolments=enrolments.order_by("person__name", "id"),
        back=reverse("cohort-lessons", args=[cohort_pk]),
        zone=zone_of(cohort),
    )


def attendance_page(
    request: HttpRequest,
    cohort: Cohort,
    lesson: Lesson,
    *,
    enrolments: QuerySet[Enrolment],
    back: str,
    zone: str,
    **context,
) -> HttpResponse:
    """The form for who was at a lesson. zone: the clock by which earlier marks are told.

    Where it is taken from a planned lesson, `planned` and, in words, `held`: when and where.
    """
    rows = Attendance.objects.filter(cohort=cohort, lesson_key=lesson.key).standing()
    marks = {row.person_id: row for row in rows.select_related("marked_by")}

    def save(form):
        made = services.mark_attendance(request.user, cohort, lesson, form.present)
        if not made:
            return _("Nothing was different: the marks stand as they were."), back
        told = ngettext("%(number)s mark is saved.", "%(number)s marks are saved.", len(made))
        return told % {"number": len(made)}, back

    form = AttendanceForm(
        request.POST if request.method == "POST" else None,
        enrolments=enrolments,
        standing={person: mark.present for person, mark in marks.items()},
    )
    for name, person in form.students.items():
        form.fields[name].mark = marks.get(person.pk)
    return form_page(
        request,
        form,
        save=save,
        template="coursework/attendance.html",
        heading=_("Who was at “%s”?") % lesson,
        submit=_("Save the marks"),
        cancel=back,
        cohort=cohort,
        lesson=lesson,
        zone=zone,
        **context,
    )


def _visible(request: HttpRequest, pk: int) -> Cohort:
    cohorts = policies.visible_cohorts(request.user).select_related("course")
    return policies.get_visible(cohorts, pk=pk)


def _student_numbers(cohort: Cohort) -> set[int]:
    return set(cohort.enrolments.filter(role=Role.STUDENT).values_list("person", flat=True))
