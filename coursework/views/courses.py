"""Courses."""

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.forms.common import SearchForm
from coursework.forms.curriculum import CourseForm
from coursework.models import Course
from coursework.views.pages import form_page, page_of, removal_page


def course_list(request: HttpRequest) -> HttpResponse:
    search = SearchForm(request.GET, label=_("Find a course"))
    courses = policies.visible_courses(request.user).with_numbers()
    if search.words:
        courses = courses.filter(
            Q(title__icontains=search.words) | Q(summary__icontains=search.words)
        )
    return render(
        request,
        "coursework/course_list.html",
        {
            "page": page_of(request, courses),
            "search": search,
            "may_arrange": policies.may_arrange_school(request.user),
        },
    )


def course_detail(request: HttpRequest, pk: int) -> HttpResponse:
    course = policies.get_visible(policies.visible_courses(request.user), pk=pk)
    cohorts = policies.visible_cohorts(request.user).filter(course=course)
    may_arrange = policies.may_arrange(request.user, course)
    return render(
        request,
        "coursework/course_detail.html",
        {
            "course": course,
            "exercises": course.exercises.all(),
            "cohorts": cohorts.with_numbers(),
            "today": timezone.now().date(),
            "may_arrange": may_arrange,
            "may_remove": may_arrange and not services.is_held(course),
        },
    )


def course_add(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    course = Course(school=request.user.school)
    return _edit(request, course, heading=_("New course"), cancel=reverse("course-list"))


def course_edit(request: HttpRequest, pk: int) -> HttpResponse:
    course = policies.get_visible(policies.visible_courses(request.user), pk=pk)
    policies.require(policies.may_arrange(request.user, course))
    return _edit(
        request,
        course,
        heading=_("Edit “%s”") % course,
        cancel=reverse("course-detail", args=[pk]),
    )


def course_remove(request: HttpRequest, pk: int) -> HttpResponse:
    course = policies.get_visible(policies.visible_courses(request.user), pk=pk)
    return removal_page(
        request,
        course,
        heading=_("Remove the course “%s”?") % course,
        explanation=_("Its exercises are removed with it. This cannot be undone."),
        submit=_("Remove the course"),
        told=_("The course “%s” is removed.") % course,
        cancel=reverse("course-detail", args=[pk]),
        done=reverse("course-list"),
    )


def _edit(request, course, *, heading, cancel) -> HttpResponse:
    def save(form):
        saved = form.save()
        return _("“%s” is saved.") % saved, reverse("course-detail", args=[saved.pk])

    form = CourseForm(request.POST or None, instance=course)
    return form_page(
        request, form, save=save, heading=heading, submit=_("Save the course"), cancel=cancel
    )
