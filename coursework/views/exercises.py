"""Exercises of a course."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.forms.curriculum import ExerciseForm
from coursework.models import Exercise
from coursework.views.courses import frozen, visible_course
from coursework.views.lessons import shifted
from coursework.views.pages import form_page, removal_page


def exercise_detail(request: HttpRequest, pk: int) -> HttpResponse:
    exercise = _visible(request, pk)
    may_change = policies.may_arrange(request.user, exercise) and exercise.course.is_draft
    return render(
        request,
        "coursework/exercise_detail.html",
        {
            "exercise": exercise,
            "lessons": exercise.lessons.order_by("position", "id"),
            "may_change": may_change,
        },
    )


def exercise_add(request: HttpRequest, course_pk: int) -> HttpResponse:
    course = visible_course(request, course_pk)
    policies.require(policies.may_arrange(request.user, course))
    if not course.is_draft:
        return frozen(request, course)
    return _edit(
        request,
        Exercise(course=course),
        heading=_("New exercise of “%s”") % course,
        cancel=reverse("course-detail", args=[course_pk]),
    )


def exercise_edit(request: HttpRequest, pk: int) -> HttpResponse:
    exercise = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, exercise))
    if not exercise.course.is_draft:
        return frozen(request, exercise.course)
    return _edit(
        request,
        exercise,
        heading=_("Edit “%s”") % exercise,
        cancel=reverse("exercise-detail", args=[pk]),
    )


def exercise_remove(request: HttpRequest, pk: int) -> HttpResponse:
    exercise = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, exercise))
    if not exercise.course.is_draft:
        return frozen(request, exercise.course)
    return removal_page(
        request,
        exercise,
        heading=_("Remove the exercise “%s”?") % exercise,
        explanation=_(
            "Its task, steps and standard are lost from this draft; versions that are published "
            "keep them. This cannot be undone."
        ),
        submit=_("Remove the exercise"),
        told=_("The exercise “%s” is removed.") % exercise,
        cancel=reverse("exercise-detail", args=[pk]),
        done=reverse("course-detail", args=[exercise.course_id]),
    )


def exercise_shift(request: HttpRequest, pk: int) -> HttpResponse:
    return shifted(request, _visible(request, pk))


def _visible(request: HttpRequest, pk: int) -> Exercise:
    exercises = policies.visible_exercises(request.user).select_related("course")
    return policies.get_visible(exercises, pk=pk)


def _edit(request, exercise, *, heading, cancel) -> HttpResponse:
    def save(form):
        chosen = form.cleaned_data.get("lessons", ())
        saved = services.save_exercise(request.user, form.save(commit=False), chosen)
        return _("“%s” is saved.") % saved, reverse("exercise-detail", args=[saved.pk])

    return form_page(
        request,
        ExerciseForm(request.POST or None, instance=exercise),
        save=save,
        template="coursework/exercise_form.html",
        heading=heading,
        submit=_("Save the exercise"),
        cancel=cancel,
    )
