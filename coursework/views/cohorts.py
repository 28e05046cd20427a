"""Cohorts: the people by role, and their drills."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.filters import CohortFilter
from coursework.forms.cohorts import CohortForm
from coursework.models import Approval, Cohort, Role
from coursework.views.pages import form_page, list_page, page_of, removal_page


def cohort_list(request: HttpRequest) -> HttpResponse:
    cohorts = policies.visible_cohorts(request.user).with_numbers()
    narrowed = CohortFilter(request.GET, cohorts, find=_("Find a cohort"))
    return list_page(
        request,
        "coursework/cohort_list.html",
        narrowed,
        name="cohorts",
        columns=exports.COHORTS,
        today=timezone.localdate(),
        may_arrange=policies.may_arrange_school(request.user),
    )


def cohort_detail(request: HttpRequest, pk: int) -> HttpResponse:
    cohort = _visible(request, pk)
    now = timezone.now()
    may_see_people = policies.may_see_people(request.user, cohort)
    may_arrange = policies.may_arrange(request.user, cohort)
    drills = cohort.drills.with_places()
    return render(
        request,
        "coursework/cohort_detail.html",
        {
            "cohort": cohort,
            "today": timezone.localdate(now),
            "people": _by_role(cohort) if may_see_people else None,
            "groups": cohort.groups.prefetch_related("students") if may_see_people else [],
            "settable": set(
                policies.passwords_to_set(request.user)
                .filter(enrolments__cohort=cohort)
                .values_list("pk", flat=True)
            ),
            "coming": drills.not_over(now),
            "lessons_coming": cohort.planned_lessons.for_lines().not_over(now),
            "held_page": page_of(request, drills.over(now)),
            "may_arrange": may_arrange,
            "newer": services.newer_versions(cohort).first() if may_arrange else None,
        },
    )


def cohort_add(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))

    def save(form):
        cohort = services.start_cohort(
            request.user, form.save(commit=False), leads=form.cleaned_data.get("leads", False)
        )
        return _("“%s” is added.") % cohort, reverse("cohort-detail", args=[cohort.pk])

    courses = policies.visible_courses(request.user).newest()
    first = courses.filter(pk=policies.asked_key(request.GET.get("course"))).first()
    return form_page(
        request,
        CohortForm(
            request.POST or None,
            courses=courses,
            asks_lead=policies.is_school_admin(request.user),
            initial={"course": first},
        ),
        save=save,
        template="coursework/cohort_form.html",
        heading=_("New cohort"),
        submit=_("Save the cohort"),
        cancel=reverse("cohort-list"),
        has_courses=courses.exists(),
    )


def cohort_edit(request: HttpRequest, pk: int) -> HttpResponse:
    cohort = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, cohort))
    back = reverse("cohort-detail", args=[pk])

    def save(form):
        return _("“%s” is saved.") % form.save(), back

    courses = policies.visible_courses(request.user).taken_or_newest(cohort.course_id)
    return form_page(
        request,
        CohortForm(request.POST or None, instance=cohort, courses=courses),
        save=save,
        heading=_("Edit “%s”") % cohort,
        submit=_("Save the cohort"),
        cancel=back,
        remove=reverse("cohort-remove", args=[pk]),
        remove_label=_("Remove the cohort…"),
    )


def cohort_remove(request: HttpRequest, pk: int) -> HttpResponse:
    cohort = _visible(request, pk)
    return removal_page(
        request,
        cohort,
        heading=_("Remove the cohort “%s”?") % cohort,
        explanation=_(
            "Its drills and planned lessons are removed with it; its people stay in the school. "
            "A cohort with results cannot be removed. This cannot be undone."
        ),
        submit=_("Remove the cohort"),
        told=_("The cohort “%s” is removed.") % cohort,
        cancel=reverse("cohort-detail", args=[pk]),
        done=reverse("cohort-list"),
    )


def _visible(request: HttpRequest, pk: int) -> Cohort:
    cohorts = policies.visible_cohorts(request.user).select_related("course")
    return policies.get_visible(cohorts, pk=pk)


def _by_role(cohort: Cohort) -> list[tuple[str, list]]:
    """Plural name of each role with its enrolments, by name."""
    rows = list(cohort.enrolments.select_related("person").order_by("person__name", "id"))
    today = timezone.localdate()
    notes = Approval.objects.staff_notes([row.person_id for row in rows], today=today)
    for row in rows:
        row.staff_notes = notes[row.person_id]
    names = {
        Role.LEAD: _("Course leads"),
        Role.ASSISTANT: _("Assistant instructors"),
        Role.STUDENT: _("Students"),
    }
    return [(name, [row for row in rows if row.role == role]) for role, name in names.items()]
