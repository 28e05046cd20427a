"""Courses as files: saved, and read."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.exchange import LARGEST_BYTES, sample
from coursework.exchange.reading import FaultyFileError, read
from coursework.exchange.writing import text_of
from coursework.forms.courses import ImportForm
from coursework.views.courses import visible_course
from coursework.views.pages import form_page

# More than these on one page help nobody; the rest is counted.
_FAULTS_SHOWN = 200


def course_export(request: HttpRequest, pk: int) -> HttpResponse:
    course = visible_course(request, pk)
    policies.require(policies.may_arrange(request.user, course))
    name = slugify(f"{course.title} version {course.number}") or f"course-{course.pk}"
    return HttpResponse(
        text_of(course),
        content_type="application/json; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}.json"'},
    )


def course_import(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    form = ImportForm(request.POST or None, request.FILES or None)
    context: dict = {}

    def save(form):
        # One byte more than allowed is enough to know that it is too large.
        content = form.cleaned_data["file"].read(LARGEST_BYTES + 1)
        try:
            found = read(content)
        except FaultyFileError as error:
            context["faults"] = error.faults[:_FAULTS_SHOWN]
            context["fault_number"] = len(error.faults)
            raise ValidationError(_("Nothing is imported: the file has faults.")) from error
        if form.cleaned_data["title"]:
            found.course.title = form.cleaned_data["title"]
        course = services.import_course(request.user, found)
        told = _("“%s” is imported as a draft. Look through it, then publish it.") % course
        return told, reverse("course-detail", args=[course.pk])

    return form_page(
        request,
        form,
        save=save,
        template="coursework/course_import.html",
        heading=_("Import a course"),
        submit=_("Import the course"),
        cancel=reverse("course-list"),
        faulty=context,
    )


def course_sample(request: HttpRequest) -> HttpResponse:
    """The sample course becomes a draft of the school's own; pressed again, nothing is doubled."""
    policies.require(policies.may_arrange_school(request.user))
    if request.method != "POST":
        return redirect("course-list")
    same = policies.visible_courses(request.user).filter(title__in=sample.titles())
    if there := same.order_by("-number").first():
        messages.info(request, _("The school has “%s” already: here it is.") % there)
        return redirect("course-detail", there.pk)
    course = services.import_course(request.user, sample.sample_course())
    messages.success(
        request,
        _("“%s” is now a draft of yours. Change what you like, then publish it.") % course,
    )
    return redirect("course-detail", course.pk)
