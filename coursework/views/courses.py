"""Courses: one version on a page, with its lessons and exercises in order."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.exchange import sample
from coursework.filters import CourseFilter
from coursework.forms.courses import CourseForm
from coursework.models import Course
from coursework.views.pages import form_page, list_page, removal_page


def course_list(request: HttpRequest) -> HttpResponse:
    courses = policies.visible_courses(request.user).one_each().with_numbers()
    narrowed = CourseFilter(request.GET, courses, find=_("Find a course"))
    return list_page(
        request,
        "coursework/course_list.html",
        narrowed,
        name="courses",
        columns=exports.COURSES,
        may_arrange=policies.may_arrange_school(request.user),
        sample=_sample_offered(request, narrowed),
    )


def _sample_offered(request: HttpRequest, narrowed: CourseFilter) -> sample.Offer | None:
    """What the sample course holds; None where the list is narrowed or the school has it."""
    school = request.user.school_id
    if narrowed.is_narrowed or school is None:
        return None
    there = Course.objects.filter(school=school, title__in=sample.titles())
    return None if there.exists() else sample.offer()


def course_detail(request: HttpRequest, pk: int) -> HttpResponse:
    course = visible_course(request, pk)
    visible = policies.visible_courses(request.user)
    versions = list(visible.filter(lineage=course.lineage).order_by("-number"))
    cohorts = policies.visible_cohorts(request.user).filter(course=course)
    may_arrange = policies.may_arrange(request.user, course)
    published = [version for version in versions if not version.is_draft]
    return render(
        request,
        "coursework/course_detail.html",
        {
            "course": course,
            "versions": versions,
            "newest": published[0] if published else None,
            "draft": next((version for version in versions if version.is_draft), None),
            "lessons": course.lessons.order_by("position", "id").prefetch_related("prerequisites"),
            "exercises": course.exercises.order_by("position", "id").prefetch_related("lessons"),
            "cohorts": cohorts.with_numbers(),
            "today": timezone.localdate(),
            "may_arrange": may_arrange,
            "may_change": may_arrange and course.is_draft,
            "may_remove": may_arrange and not services.is_held(course),
        },
    )


def course_add(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    course = Course(school=request.user.school)
    return _edit(request, course, heading=_("New course"), cancel=reverse("course-list"))


def course_edit(request: HttpRequest, pk: int) -> HttpResponse:
    course = visible_course(request, pk)
    policies.require(policies.may_arrange(request.user, course))
    if not course.is_draft:
        return frozen(request, course)
    return _edit(
        request,
        course,
        heading=_("Edit “%s”") % course,
        cancel=reverse("course-detail", args=[pk]),
    )


def course_remove(request: HttpRequest, pk: int) -> HttpResponse:
    course = visible_course(request, pk)
    return removal_page(
        request,
        course,
        heading=_("Remove the course “%s”?") % course,
        explanation=_(
            "All its versions are removed, with their lessons and exercises. This cannot be "
            "undone; save the course as a file first if you may want it again."
        ),
        submit=_("Remove the course"),
        told=_("The course “%s” is removed.") % course,
        cancel=reverse("course-detail", args=[pk]),
        done=reverse("course-list"),
    )


def visible_course(request: HttpRequest, pk: int) -> Course:
    courses = policies.visible_courses(request.user).select_related("published_by")
    return policies.get_visible(courses, pk=pk)


def frozen(request: HttpRequest, course: Course) -> HttpResponse:
    """Back to a published version, with a word on why it is not changed."""
    messages.warning(request, services.frozen_sentence(course))
    return redirect("course-detail", course.pk)


def _edit(request, course, *, heading, cancel) -> HttpResponse:
    def save(form):
        saved = services.save_course(request.user, form.save(commit=False))
        return _("“%s” is saved.") % saved, reverse("course-detail", args=[saved.pk])

    form = CourseForm(request.POST or None, instance=course)
    return form_page(
        request, form, save=save, heading=heading, submit=_("Save the course"), cancel=cancel
    )
