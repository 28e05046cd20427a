"""Lessons of a course, and the order of its lessons and exercises."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.forms.lessons import LessonForm
from coursework.models import Exercise, Lesson
from coursework.views.courses import frozen, visible_course
from coursework.views.pages import form_page, removal_page


def lesson_detail(request: HttpRequest, pk: int) -> HttpResponse:
    lesson = _visible(request, pk)
    may_change = policies.may_arrange(request.user, lesson) and lesson.course.is_draft
    return render(
        request,
        "coursework/lesson_detail.html",
        {
            "lesson": lesson,
            "before": lesson.prerequisites.order_by("position", "id"),
            "after": lesson.needed_by.order_by("position", "id"),
            "exercises": lesson.exercises.order_by("position", "id"),
            "may_change": may_change,
        },
    )


def lesson_add(request: HttpRequest, course_pk: int) -> HttpResponse:
    course = visible_course(request, course_pk)
    policies.require(policies.may_arrange(request.user, course))
    if not course.is_draft:
        return frozen(request, course)
    return _edit(
        request,
        Lesson(course=course),
        heading=_("New lesson of “%s”") % course,
        cancel=reverse("course-detail", args=[course_pk]),
    )


def lesson_edit(request: HttpRequest, pk: int) -> HttpResponse:
    lesson = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, lesson))
    if not lesson.course.is_draft:
        return frozen(request, lesson.course)
    return _edit(
        request,
        lesson,
        heading=_("Edit “%s”") % lesson,
        cancel=reverse("lesson-detail", args=[pk]),
    )


def lesson_remove(request: HttpRequest, pk: int) -> HttpResponse:
    lesson = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, lesson))
    if not lesson.course.is_draft:
        return frozen(request, lesson.course)
    return removal_page(
        request,
        lesson,
        heading=_("Remove the lesson “%s”?") % lesson,
        explanation=_(
            "Its plan is lost from this draft; versions that are published keep it. What comes "
            "after it no longer waits for it. This cannot be undone."
        ),
        submit=_("Remove the lesson"),
        told=_("The lesson “%s” is removed.") % lesson,
        cancel=reverse("lesson-detail", args=[pk]),
        done=reverse("course-detail", args=[lesson.course_id]),
    )


def lesson_shift(request: HttpRequest, pk: int) -> HttpResponse:
    return shifted(request, _visible(request, pk))


def shifted(request: HttpRequest, thing: Lesson | Exercise) -> HttpResponse:
    """One place up or down where that was sent, and back to the course in any case."""
    policies.require(policies.may_arrange(request.user, thing))
    if not thing.course.is_draft:
        return frozen(request, thing.course)
    way = request.POST.get("way")
    if way in {"up", "down"} and not services.shift(request.user, thing, up=way == "up"):
        end = _("“%s” is the first already.") if way == "up" else _("“%s” is the last already.")
        messages.info(request, end % thing)
    return redirect("course-detail", thing.course_id)


def _visible(request: HttpRequest, pk: int) -> Lesson:
    lessons = policies.visible_lessons(request.user).select_related("course")
    return policies.get_visible(lessons, pk=pk)


def _edit(request, lesson, *, heading, cancel) -> HttpResponse:
    def save(form):
        chosen = form.cleaned_data.get("prerequisites", ())
        saved = services.save_lesson(request.user, form.save(commit=False), chosen)
        return _("“%s” is saved.") % saved, reverse("lesson-detail", args=[saved.pk])

    return form_page(
        request,
        LessonForm(request.POST or None, instance=lesson),
        save=save,
        heading=heading,
        submit=_("Save the lesson"),
        cancel=cancel,
    )
