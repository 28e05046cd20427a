"""Lessons of a course."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from coursework import policies, services
from coursework.forms.lessons import LessonForm
from coursework.views import parts

LESSON = parts.Kind(
    form=LessonForm,
    visible=policies.visible_lessons,
    save=services.save_lesson,
    chosen="prerequisites",
    page="lesson-detail",
    template="coursework/form.html",
    new=_("New lesson of “%s”"),
    submit=_("Save the lesson"),
    remove=_("Remove the lesson “%s”?"),
    explanation=_(
        "Its plan is lost from this draft; versions that are published keep it. What comes "
        "after it no longer waits for it. This cannot be undone."
    ),
    remove_submit=_("Remove the lesson"),
    removed=_("The lesson “%s” is removed."),
)


def lesson_detail(request: HttpRequest, pk: int) -> HttpResponse:
    lesson = parts.visible(request, LESSON, pk)
    return render(
        request,
        "coursework/lesson_detail.html",
        {
            "lesson": lesson,
            "before": lesson.prerequisites.order_by("position", "id"),
            "after": lesson.needed_by.order_by("position", "id"),
            "exercises": lesson.exercises.order_by("position", "id"),
            "may_change": parts.may_change(request, lesson),
        },
    )


def lesson_add(request: HttpRequest, course_pk: int) -> HttpResponse:
    return parts.add(request, LESSON, course_pk)


def lesson_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return parts.edit(request, LESSON, pk)


def lesson_remove(request: HttpRequest, pk: int) -> HttpResponse:
    return parts.remove(request, LESSON, pk)


def lesson_shift(request: HttpRequest, pk: int) -> HttpResponse:
    return parts.shift(request, LESSON, pk)
