"""Exercises of a course."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _

from coursework import policies, services
from coursework.forms.curriculum import ExerciseForm
from coursework.views import parts

EXERCISE = parts.Kind(
    form=ExerciseForm,
    visible=policies.visible_exercises,
    save=services.save_exercise,
    chosen="lessons",
    page="exercise-detail",
    template="coursework/exercise_form.html",
    new=_("New exercise of “%s”"),
    submit=_("Save the exercise"),
    remove=_("Remove the exercise “%s”?"),
    explanation=_(
        "Its task, steps and standard are lost from this draft; versions that are published "
        "keep them. This cannot be undone."
    ),
    remove_submit=_("Remove the exercise"),
    removed=_("The exercise “%s” is removed."),
)


def exercise_detail(request: HttpRequest, pk: int) -> HttpResponse:
    exercise = parts.visible(request, EXERCISE, pk)
    return render(
        request,
        "coursework/exercise_detail.html",
        {
            "exercise": exercise,
            "lessons": exercise.lessons.order_by("position", "id"),
            "may_change": parts.may_change(request, exercise),
        },
    )


def exercise_add(request: HttpRequest, course_pk: int) -> HttpResponse:
    return parts.add(request, EXERCISE, course_pk)


def exercise_edit(request: HttpRequest, pk: int) -> HttpResponse:
    return parts.edit(request, EXERCISE, pk)


def exercise_remove(request: HttpRequest, pk: int) -> HttpResponse:
    return parts.remove(request, EXERCISE, pk)


def exercise_shift(request: HttpRequest, pk: int) -> HttpResponse:
    return parts.shift(request, EXERCISE, pk)
