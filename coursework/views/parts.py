"""What the pages of lessons and of exercises do alike: add, edit, remove, and change the order."""

from collections.abc import Callable
from dataclasses import dataclass

from django.contrib import messages
from django.db.models import QuerySet
from django.forms import ModelForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.models import Person
from coursework.models.parts import CoursePart
from coursework.views.courses import frozen, visible_course
from coursework.views.pages import form_page, removal_page


@dataclass(frozen=True, kw_only=True)
class Kind:
    """One kind of part: its form and service, and what its pages say.

    `chosen` is the field of the form with what comes before; `new`, `remove` and `removed` have
    a %s for the course or the part.
    """

    form: type[ModelForm]
    visible: Callable[[Person], QuerySet]
    save: Callable[..., CoursePart]
    chosen: str
    page: str
    template: str
    new: str
    submit: str
    remove: str
    explanation: str
    remove_submit: str
    removed: str


def visible(request: HttpRequest, kind: Kind, pk: int) -> CoursePart:
    return policies.get_visible(kind.visible(request.user).select_related("course"), pk=pk)


def may_change(request: HttpRequest, part: CoursePart) -> bool:
    return policies.may_arrange(request.user, part) and part.course.is_draft


def add(request: HttpRequest, kind: Kind, course_pk: int) -> HttpResponse:
    course = visible_course(request, course_pk)
    policies.require(policies.may_arrange(request.user, course))
    if not course.is_draft:
        return frozen(request, course)
    part = kind.form._meta.model(course=course)
    cancel = reverse("course-detail", args=[course_pk])
    return _form(request, kind, part, heading=kind.new % course, cancel=cancel)


def edit(request: HttpRequest, kind: Kind, pk: int) -> HttpResponse:
    part = visible(request, kind, pk)
    policies.require(policies.may_arrange(request.user, part))
    if not part.course.is_draft:
        return frozen(request, part.course)
    cancel = reverse(kind.page, args=[pk])
    return _form(request, kind, part, heading=_("Edit “%s”") % part, cancel=cancel)


def remove(request: HttpRequest, kind: Kind, pk: int) -> HttpResponse:
    part = visible(request, kind, pk)
    policies.require(policies.may_arrange(request.user, part))
    if not part.course.is_draft:
        return frozen(request, part.course)
    return removal_page(
        request,
        part,
        heading=kind.remove % part,
        explanation=kind.explanation,
        submit=kind.remove_submit,
        told=kind.removed % part,
        cancel=reverse(kind.page, args=[pk]),
        done=reverse("course-detail", args=[part.course_id]),
    )


def shift(request: HttpRequest, kind: Kind, pk: int) -> HttpResponse:
    """One place up or down where that was sent, and back to the course in any case."""
    part = visible(request, kind, pk)
    policies.require(policies.may_arrange(request.user, part))
    if not part.course.is_draft:
        return frozen(request, part.course)
    way = request.POST.get("way")
    if way in {"up", "down"} and not services.shift(request.user, part, up=way == "up"):
        end = _("“%s” is the first already.") if way == "up" else _("“%s” is the last already.")
        messages.info(request, end % part)
    return redirect("course-detail", part.course_id)


def _form(request, kind: Kind, part: CoursePart, *, heading: str, cancel: str) -> HttpResponse:
    def save(form):
        chosen = form.cleaned_data.get(kind.chosen, ())
        saved = kind.save(request.user, form.save(commit=False), chosen)
        return _("“%s” is saved.") % saved, reverse(kind.page, args=[saved.pk])

    return form_page(
        request,
        kind.form(request.POST or None, instance=part),
        save=save,
        template=kind.template,
        heading=heading,
        submit=kind.submit,
        cancel=cancel,
    )
