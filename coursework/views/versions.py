"""Versions of a course: published, changed, discarded, copied; and a cohort moved to a newer."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.forms.common import ConfirmForm
from coursework.forms.courses import CopyForm, PublishForm
from coursework.models import Course
from coursework.views.courses import frozen, visible_course
from coursework.views.pages import confirm_page, form_page


def course_publish(request: HttpRequest, pk: int) -> HttpResponse:
    course = _arranged(request, pk)
    if not course.is_draft:
        return frozen(request, course)
    back = reverse("course-detail", args=[pk])
    form = PublishForm(_sent(request), instance=course)
    # The note on what changed is a field of this page, so it is not missing before it is sent.
    missing = [] if form.fields else services.missing_to_publish(course)
    before = course.versions.published().first()

    def save(form):
        services.save_course(request.user, form.save(commit=False))
        services.publish(request.user, course)
        return _("Version %s is published: cohorts can take it.") % course.number, back

    return form_page(
        request,
        form,
        save=save,
        template="coursework/course_publish.html",
        heading=_("Publish version %(number)s of “%(title)s”?")
        % {"number": course.number, "title": course.title},
        submit=_("Publish version %s") % course.number,
        cancel=back,
        course=course,
        missing=missing,
        remarks=services.remarks_to_publish(course),
        before=before,
        changes=services.changes_between(before, course) if before else None,
    )


def course_next(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask, then open the draft of the next version; a draft that is there already is opened."""
    course = _arranged(request, pk)
    newest = course.versions.first()
    if newest.is_draft and request.method != "POST":
        return redirect("course-detail", newest.pk)

    def save(_form):
        draft = services.next_version(request.user, course)
        told = _("This is the draft of version %s. Cohorts stay on theirs until it is published.")
        return told % draft.number, reverse("course-detail", args=[draft.pk])

    return form_page(
        request,
        ConfirmForm(_sent(request)),
        save=save,
        heading=_("Change “%s”?") % course,
        intro=_(
            "Version %(newest)s is published and stays as it is. A draft of version %(next)s is "
            "made with the same lessons and exercises, and that is what you change. No cohort "
            "sees it until you publish it and move the cohort."
        )
        % {"newest": newest.number, "next": newest.number + 1},
        submit=_("Make a draft of version %s") % (newest.number + 1),
        cancel=reverse("course-detail", args=[pk]),
    )


def course_discard(request: HttpRequest, pk: int) -> HttpResponse:
    course = _arranged(request, pk)
    if not course.is_draft:
        return frozen(request, course)
    before = course.versions.published().first()

    def act() -> str:
        services.discard_draft(request.user, course)
        return _("The draft of “%s” is discarded.") % course

    if before is None:
        explanation = _("Its lessons and exercises are lost. This cannot be undone.")
    else:
        explanation = _(
            "Everything changed since version %s is lost; that version and those before it "
            "stay. This cannot be undone."
        )
        explanation %= before.number
    return confirm_page(
        request,
        act=act,
        heading=_("Discard the draft of version %(number)s of “%(title)s”?")
        % {"number": course.number, "title": course.title},
        explanation=explanation,
        submit=_("Discard the draft"),
        cancel=reverse("course-detail", args=[pk]),
        done=reverse("course-detail", args=[before.pk]) if before else reverse("course-list"),
    )


def course_copy(request: HttpRequest, pk: int) -> HttpResponse:
    course = _arranged(request, pk)

    def save(form):
        copied = services.copy_course(request.user, course, title=form.cleaned_data["title"])
        told = _("“%s” is a course of its own now, as a draft.") % copied
        return told, reverse("course-detail", args=[copied.pk])

    first = {"title": _("%s, copy") % course.title[:100]}
    return form_page(
        request,
        CopyForm(request.POST or None, course=course, initial=first),
        save=save,
        heading=_("Copy “%s”") % course.title_with_version,
        intro=_(
            "Lessons, exercises and their order are copied. The copy has a history of "
            "its own: results at its exercises do not count at those of this course."
        ),
        submit=_("Copy the course"),
        cancel=reverse("course-detail", args=[pk]),
    )


def cohort_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what a newer version changes for a cohort, and move it there when told to."""
    cohorts = policies.visible_cohorts(request.user).select_related("course")
    cohort = policies.get_visible(cohorts, pk=pk)
    policies.require(policies.may_arrange(request.user, cohort))
    newer = list(services.newer_versions(cohort))
    back = reverse("cohort-detail", args=[pk])
    if not newer:
        return render(
            request, "coursework/cohort_move.html", {"cohort": cohort, "newer": [], "cancel": back}
        )
    asked = request.GET.get("version", "")
    chosen = next((course for course in newer if str(course.number) == asked), newer[0])

    def save(_form):
        services.move_cohort(request.user, cohort, chosen)
        said = {"cohort": cohort.name, "number": chosen.number}
        return _("“%(cohort)s” is on version %(number)s now.") % said, back

    return form_page(
        request,
        ConfirmForm(_sent(request)),
        save=save,
        template="coursework/cohort_move.html",
        heading=_("Move “%(cohort)s” to version %(number)s?")
        % {"cohort": cohort.name, "number": chosen.number},
        submit=_("Move to version %s") % chosen.number,
        cancel=back,
        cohort=cohort,
        newer=newer,
        chosen=chosen,
        notes=[course for course in reversed(newer) if course.number <= chosen.number],
        changes=services.changes_between(cohort.course, chosen),
        drills=services.drills_at_move(cohort, chosen, timezone.now()),
    )


def _sent(request: HttpRequest):
    # A form without fields is sent empty, and is sent all the same.
    return request.POST if request.method == "POST" else None


def _arranged(request: HttpRequest, pk: int) -> Course:
    course = visible_course(request, pk)
    policies.require(policies.may_arrange(request.user, course))
    return course
