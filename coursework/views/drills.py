"""Drills: an exercise held at a site at an hour with a cohort."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.functional import SimpleLazyObject
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.conflicts import Plan
from coursework.conflicts.beside import beside, conflicts_beside
from coursework.filters import DrillFilter
from coursework.forms.drills import DrillForm
from coursework.forms.moments import asked_day
from coursework.listing import csv_response, wants_csv
from coursework.models import Decision, Drill, Group, Incident, Role, SchoolSettings
from coursework.sun import sun_at, sun_of_day
from coursework.views.pages import form_page, page_of, removal_page


def drill_list(request: HttpRequest) -> HttpResponse:
    now = timezone.now()
    drills = policies.visible_drills(request.user).with_last_outcome()
    narrowed = DrillFilter(request.GET, drills, find=_("Find a drill"))
    # Newest first: those to come stand before those held.
    rows = narrowed.qs.order_by("-starts_at", "id")
    if wants_csv(request):
        rows = rows.with_places().iterator(chunk_size=500)
        return csv_response("drills", exports.DRILLS, rows)
    return render(
        request,
        "coursework/drill_list.html",
        {
            "page": page_of(request, rows.for_lines()),
            "may_save": True,
            "filter": narrowed,
            "now": now,
            "may_arrange": policies.may_arrange_school(request.user),
        },
    )


def drill_detail(request: HttpRequest, pk: int) -> HttpResponse:
    drill = _visible(request, pk)
    may_assess = policies.may_assess(request.user, drill.cohort)
    may_arrange = policies.may_arrange(request.user, drill)
    is_over = drill.is_over(timezone.now())
    looks = may_assess and not is_over and not drill.is_cancelled
    students = drill.cohort.enrolments.filter(role=Role.STUDENT).select_related("person")
    groups = list(drill.groups.all())
    if groups:
        taken = Group.students.through.objects.filter(group__in=groups).values("person")
        students = students.filter(person__in=taken)
    return render(
        request,
        "coursework/drill_detail.html",
        {
            "drill": drill,
            "students": students if may_assess else None,
            "sun": sun_of_day(drill.site, drill.local_start.date()),
            "sun_then": [
                (_("At the start"), sun_at(drill.site, drill.starts_at)),
                (_("At the end"), sun_at(drill.site, drill.ends_at)),
            ],
            "is_quiet": policies.quiet_drill(request.user, drill.site) is not None,
            "groups": groups,
            "assistants": list(drill.assistants.all()),
            "exceptions": list(drill.plan_exceptions.select_related("by")) if may_assess else [],
            "found": beside(Plan.of(drill)) if looks else None,
            "is_over": is_over,
            "decisions": list(drill.decisions.last_first()),
            "may_assess": may_assess,
            "may_see_card": policies.may_see_emergency_card(request.user, drill),
            "may_decide": policies.may_decide(request.user, drill),
            "may_arrange": may_arrange,
            "may_remove": may_arrange and not services.is_held(drill),
        },
    )


def drill_add(request: HttpRequest, cohort_pk: int) -> HttpResponse:
    cohorts = policies.visible_cohorts(request.user).select_related("course__school")
    cohort = policies.get_visible(cohorts, pk=cohort_pk)
    policies.require(policies.may_arrange(request.user, cohort))
    return _edit(
        request,
        Drill(cohort=cohort),
        heading=_("New drill for “%s”") % cohort,
        cancel=reverse("cohort-detail", args=[cohort_pk]),
    )


def drill_edit(request: HttpRequest, pk: int) -> HttpResponse:
    drill = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, drill))
    return _edit(
        request,
        drill,
        heading=_("Edit the drill “%s”") % drill.exercise,
        cancel=reverse("drill-detail", args=[pk]),
        results=services.is_held(drill, besides=(Decision, Incident)),
    )


def drill_remove(request: HttpRequest, pk: int) -> HttpResponse:
    drill = _visible(request, pk)
    return removal_page(
        request,
        drill,
        heading=_("Remove the drill “%s”?") % drill,
        explanation=_("Nothing has been logged at it yet. This cannot be undone."),
        submit=_("Remove the drill"),
        told=_("The drill “%s” is removed.") % drill,
        cancel=reverse("drill-detail", args=[pk]),
        done=reverse("cohort-detail", args=[drill.cohort_id]),
    )


def _visible(request: HttpRequest, pk: int) -> Drill:
    drills = policies.visible_drills(request.user).select_related(
        "exercise", "site__school", "cohort__course__school", "lead"
    )
    return policies.get_visible(drills, pk=pk)


def drill_form(request: HttpRequest, drill: Drill, *, results: bool = False) -> DrillForm:
    """The form of a drill, new or saved, with what the person may choose."""
    first = {"day": asked_day(request.GET.get("day"))} if drill.pk is None else {}
    staff = policies.staff(request.user)
    if drill.pk is None and staff.filter(pk=request.user.pk).exists():
        first["lead"] = request.user.pk
    return DrillForm(
        request.POST or None,
        instance=drill,
        sites=policies.visible_sites(request.user).select_related("school"),
        staff=staff,
        heat_unit=SchoolSettings.of(drill.cohort.course.school).heat_unit,
        results=results,
        initial=first,
    )


def _edit(request, drill, *, heading, cancel, results=False) -> HttpResponse:
    form = drill_form(request, drill, results=results)

    def save(form):
        saved = services.save_drill(
            request.user, form.plan, reason=form.cleaned_data["reason"], seen=form.seen
        )
        return _("The drill is saved."), reverse("drill-detail", args=[saved.pk])

    sites = policies.visible_sites(request.user)
    return form_page(
        request,
        form,
        save=save,
        template="coursework/drill_form.html",
        heading=heading,
        submit=_("Save the drill"),
        cancel=cancel,
        cohort=drill.cohort,
        booking=drill,
        found=SimpleLazyObject(lambda: conflicts_beside(form)),
        has_exercises=drill.cohort.course.exercises.exists(),
        has_sites=sites.exists(),
    )
