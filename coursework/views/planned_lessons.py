"""Planned lessons: a lesson of the course held with a cohort at an hour."""

from datetime import datetime

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.conflicts import LessonPlan
from coursework.conflicts.beside import beside, conflicts_beside
from coursework.forms.groups import CancelForm
from coursework.forms.moments import asked_day
from coursework.forms.planned_lessons import PlannedLessonForm
from coursework.models import (
    Attendance,
    Cohort,
    Enrolment,
    Group,
    Lesson,
    Person,
    PlannedLesson,
    Role,
)
from coursework.templatetags.coursework import local_time
from coursework.views.attendance import attendance_page
from coursework.views.pages import confirm_page, form_page, removal_page


def planned_lesson_detail(request: HttpRequest, pk: int) -> HttpResponse:
    planned = _visible(request, pk)
    may_assess = policies.may_assess(request.user, planned.cohort)
    may_arrange = policies.may_arrange(request.user, planned)
    now = timezone.now()
    is_over = planned.is_over(now)
    marks = _marks(planned)
    looks = may_assess and not is_over and not planned.is_cancelled
    students = taken_out(planned) if may_assess else []
    return render(
        request,
        "coursework/planned_lesson_detail.html",
        {
            "planned": planned,
            "lesson": planned.lesson,
            "groups": list(planned.groups.all()),
            "assistants": list(planned.assistants.all()),
            "students": [(row.person, marks.get(row.person_id)) for row in students],
            "mine": marks.get(request.user.pk),
            "own": request.user.pk in marks or _awaits_mark(request.user, planned, now),
            "found": beside(LessonPlan.of(planned)) if looks else None,
            "exceptions": list(planned.plan_exceptions.select_related("by")) if may_assess else [],
            "marked": bool(marks),
            "is_over": is_over,
            "has_begun": planned.starts_at <= now,
            "may_assess": may_assess,
            "may_arrange": may_arrange,
            "may_mark": may_assess and _lesson_now(planned) is not None,
            "may_remove": may_arrange and not services.is_held(planned),
        },
    )


def planned_lesson_add(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    """`lesson` and `day` of the address stand in the form already."""
    cohort = _cohort(request, cohort_pk)
    asked = policies.asked_key(request.GET.get("lesson"))
    lesson = cohort.course.lessons.filter(pk=asked).first()
    return _edit(
        request,
        PlannedLesson(cohort=cohort),
        initial={"lesson": lesson, "day": asked_day(request.GET.get("day"))},
        heading=_("Plan a lesson for “%s”") % cohort,
        cancel=reverse("cohort-detail", args=[cohort_pk]),
    )


def planned_lesson_edit(request: HttpRequest, pk: int) -> HttpResponse:
    planned = _arranged(request, pk)
    return _edit(
        request,
        planned,
        heading=_("Edit the planned lesson “%s”") % planned.lesson,
        cancel=reverse("planned-lesson-detail", args=[pk]),
    )


def planned_lesson_conflicts(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    """The part beside the form, for what has been chosen so far; `booking` where one is edited."""
    cohort = _cohort(request, cohort_pk)
    asked = request.GET.get("booking", "")
    planned = PlannedLesson(cohort=cohort)
    if asked:
        rows = _rows(request).filter(cohort=cohort)
        planned = policies.get_visible(rows, pk=policies.asked_key(asked))
    form = _form(request, planned)
    return render(
        request, "coursework/drill_conflicts.html", {"found": conflicts_beside(form), "form": form}
    )


def planned_lesson_cancel(request: HttpRequest, pk: int) -> HttpResponse:
    planned = _arranged(request, pk)
    back = reverse("planned-lesson-detail", args=[pk])

    def save(form):
        services.cancel_planned_lesson(request.user, planned, reason=form.cleaned_data["reason"])
        return _("The lesson is cancelled. It stays in the lists and in calendars as that."), back

    return form_page(
        request,
        CancelForm(request.POST or None),
        save=save,
        heading=_("Cancel the planned lesson “%s”?") % planned.lesson,
        intro=_("%s. It can be taken up again on its page.") % _when_and_where(planned),
        submit=_("Cancel the lesson"),
        harmful=True,
        cancel=back,
    )


def planned_lesson_take_up(request: HttpRequest, pk: int) -> HttpResponse:
    planned = _arranged(request, pk)
    back = reverse("planned-lesson-detail", args=[pk])

    def act() -> str:
        services.take_up_planned_lesson(request.user, planned)
        return _("The lesson is held after all.")

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Hold the lesson “%s” after all?") % planned.lesson,
        explanation=_("%s. Its page then shows what speaks against it by now.")
        % _when_and_where(planned),
        submit=_("Hold it"),
        keep=_("Leave it cancelled"),
        harmless=True,
    )


def planned_lesson_remove(request: HttpRequest, pk: int) -> HttpResponse:
    planned = _visible(request, pk)
    return removal_page(
        request,
        planned,
        heading=_("Remove the planned lesson “%s”?") % planned.lesson,
        explanation=_(
            "%s. It goes from all calendars without a trace. To say that it is off, cancel it "
            "instead. This cannot be undone."
        )
        % _when_and_where(planned),
        submit=_("Remove the planned lesson"),
        told=_("The planned lesson “%s” is removed.") % planned.lesson,
        cancel=reverse("planned-lesson-detail", args=[pk]),
        done=reverse("cohort-detail", args=[planned.cohort_id]),
    )


def planned_lesson_attendance(request: HttpRequest, pk: int) -> HttpResponse:
    """Who of its people was there; the marks are of the lesson, as taken from the cohort's list."""
    planned = _visible(request, pk)
    policies.require(policies.may_assess(request.user, planned.cohort))
    # After a move to a version without it there is nothing to mark any more.
    lesson = policies.get_visible(planned.cohort.course.lessons, key=planned.lesson.key)
    return attendance_page(
        request,
        planned.cohort,
        lesson,
        enrolments=taken_out(planned),
        back=reverse("planned-lesson-detail", args=[pk]),
        zone=planned.zone,
        planned=planned,
        held=_when_and_where(planned),
    )


def plan_choose(request: HttpRequest) -> HttpResponse:
    """With which cohort something is planned; `day` of the address goes on to the form."""
    policies.require(policies.may_arrange_school(request.user))
    duties = policies.duties_of(request.user)
    cohorts = policies.visible_cohorts(request.user).not_over(timezone.localdate())
    if not duties.arranges_all:
        cohorts = cohorts.filter(pk__in=duties.leads)
    return render(
        request,
        "coursework/plan_choose.html",
        {
            "cohorts": cohorts.select_related("course").order_by("starts_on", "name", "id"),
            "day": asked_day(request.GET.get("day")),
        },
    )


def _awaits_mark(person: Person, planned: PlannedLesson, now: datetime) -> bool:
    """Whether a lesson has begun that the person is taught in."""
    begun = planned.starts_at <= now and not planned.is_cancelled
    return begun and taken_out(planned).filter(person=person).exists()


def taken_out(planned: PlannedLesson) -> QuerySet[Enrolment]:
    """The enrolments of its students, by name: all of the cohort or those of its groups."""
    rows = planned.cohort.enrolments.filter(role=Role.STUDENT).select_related("person")
    groups = [group.pk for group in planned.groups.all()]
    if groups:
        taken = Group.students.through.objects.filter(group__in=groups).values("person")
        rows = rows.filter(person__in=taken)
    return rows.order_by("person__name", "id")


def _when_and_where(planned: PlannedLesson) -> str:
    """Which of several of one lesson it is: hour, place and groups."""
    groups = ", ".join(group.name for group in planned.groups.all())
    when = local_time(planned.starts_at, planned.zone)
    return ", ".join(filter(None, [when, planned.place_name, groups]))


def _marks(planned: PlannedLesson) -> dict[int, bool]:
    rows = Attendance.objects.filter(cohort=planned.cohort_id, lesson_key=planned.lesson.key)
    return dict(rows.standing().order_by().values_list("person", "present"))


def _lesson_now(planned: PlannedLesson) -> Lesson | None:
    """The same lesson in the version that the cohort is on by now."""
    if planned.lesson.course_id == planned.cohort.course_id:
        return planned.lesson
    return planned.cohort.course.lessons.filter(key=planned.lesson.key).first()


def _rows(request: HttpRequest) -> QuerySet[PlannedLesson]:
    return policies.visible_planned_lessons(request.user).select_related(
        "lesson__course", "site__school", "cohort__course__school", "lead"
    )


def _visible(request: HttpRequest, pk: int) -> PlannedLesson:
    return policies.get_visible(_rows(request), pk=pk)


def _arranged(request: HttpRequest, pk: int) -> PlannedLesson:
    planned = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, planned))
    return planned


def _cohort(request: HttpRequest, pk: int) -> Cohort:
    cohorts = policies.visible_cohorts(request.user).select_related("course__school")
    cohort = policies.get_visible(cohorts, pk=pk)
    policies.require(policies.may_arrange(request.user, cohort))
    return cohort


def _form(request: HttpRequest, planned: PlannedLesson, initial: dict | None = None):
    staff = policies.staff(request.user)
    first = dict(initial or {})
    if planned.pk is None and staff.filter(pk=request.user.pk).exists():
        first["lead"] = request.user.pk
    return PlannedLessonForm(
        request.POST or None,
        instance=planned,
        sites=policies.visible_sites(request.user).select_related("school"),
        staff=staff,
        initial=first,
    )


def _edit(request, planned, *, heading, cancel, initial=None) -> HttpResponse:
    form = _form(request, planned, initial)

    def save(form):
        saved = services.save_planned_lesson(
            request.user, form.plan, reason=form.cleaned_data["reason"], seen=form.seen
        )
        return _("The lesson is planned."), reverse("planned-lesson-detail", args=[saved.pk])

    return form_page(
        request,
        form,
        save=save,
        template="coursework/planned_lesson_form.html",
        heading=heading,
        submit=_("Save the planned lesson"),
        cancel=cancel,
        cohort=planned.cohort,
        booking=planned,
        found=SimpleLazyObject(lambda: conflicts_beside(form)),
        has_lessons=planned.cohort.course.lessons.exists(),
    )
