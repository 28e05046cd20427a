"""Exercises of a course."""

from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.forms.curriculum import ExerciseForm
from coursework.models import Exercise
from coursework.views.pages import form_page, removal_page


def exercise_detail(request: HttpRequest, pk: int) -> HttpResponse:
    exercise = _visible(request, pk)
    may_arrange = policies.may_arrange(request.user, exercise)
    return render(
        request,
        "coursework/exercise_detail.html",
        {
            "exercise": exercise,
            "may_arrange": may_arrange,
            "may_remove": may_arrange and not services.is_held(exercise),
        },
    )


def exercise_add(request: HttpRequest, course_pk: int) -> HttpResponse:
    course = policies.get_visible(policies.visible_courses(request.user), pk=course_pk)
    policies.require(policies.may_arrange(request.user, course))
    last = course.exercises.aggregate(last=Max("position"))["last"] or 0
    return _edit(
        request,
        Exercise(course=course, position=last + 1),
        heading=_("New exercise of “%s”") % course,
        cancel=reverse("course-detail", args=[course_pk]),
    )


def exercise_edit(request: HttpRequest, pk: int) -> HttpResponse:
    exercise = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, exercise))
    return _edit(
        request,
        exercise,
        heading=_("Edit “%s”") % exercise,
        intro=_(
            "A changed standard counts for results logged from now on; those already logged "
            "keep the standard they were judged by."
        ),
        cancel=reverse("exercise-detail", args=[pk]),
    )


def exercise_remove(request: HttpRequest, pk: int) -> HttpResponse:
    exercise = _visible(request, pk)
    return removal_page(
        request,
        exercise,
        heading=_("Remove the exercise “%s”?") % exercise,
        explanation=_("Its task, steps and standard are lost. This cannot be undone."),
        submit=_("Remove the exercise"),
        told=_("The exercise “%s” is removed.") % exercise,
        cancel=reverse("exercise-detail", args=[pk]),
        done=reverse("course-detail", args=[exercise.course_id]),
    )


def _visible(request: HttpRequest, pk: int) -> Exercise:
    exercises = policies.visible_exercises(request.user).select_related("course")
    return policies.get_visible(exercises, pk=pk)


def _edit(request, exercise, *, heading, cancel, intro="") -> HttpResponse:
    def save(form):
        saved = form.save()
        return _("“%s” is saved.") % saved, reverse("exercise-detail", args=[saved.pk])

    return form_page(
        request,
        ExerciseForm(request.POST or None, instance=exercise),
        save=save,
        heading=heading,
        intro=intro,
        submit=_("Save the exercise"),
        cancel=cancel,
    )
