"""Incidents and near misses, for the staff of the school."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.filters import IncidentFilter
from coursework.forms.incidents import DoneForm, FollowUpForm, IncidentForm, NoteForm
from coursework.models import FollowUp, Incident, SchoolSettings
from coursework.views.pages import form_page, list_page

DRILLS_OFFERED = 100


def incident_list(request: HttpRequest) -> HttpResponse:
    policies.require(policies.instructs_anywhere(request.user))
    incidents = policies.visible_incidents(request.user).with_open()
    narrowed = IncidentFilter(request.GET, incidents, find=_("Find in the reports"))
    return list_page(
        request,
        "coursework/incident_list.html",
        narrowed,
        name="incidents",
        columns=exports.INCIDENTS,
        rows_of=lambda rows: rows.select_related("site", "reported_by"),
        may_print=policies.may_arrange_school(request.user),
        today=timezone.localdate(),
    )


def incident_detail(request: HttpRequest, pk: int) -> HttpResponse:
    incident = _visible(request, pk)
    follow_ups = incident.follow_ups.select_related("incident", "person", "added_by", "done_by")
    arranges = policies.may_arrange_school(request.user)
    return render(
        request,
        "coursework/incident_detail.html",
        {
            "incident": incident,
            "notes": incident.notes.select_related("by"),
            "follow_ups": [
                (follow_up, arranges or follow_up.person_id == request.user.pk)
                for follow_up in follow_ups
            ],
            "today": timezone.now().astimezone(incident.local_time.tzinfo).date(),
        },
    )


def incident_add(request: HttpRequest) -> HttpResponse:
    policies.require(policies.instructs_anywhere(request.user))
    now = timezone.now()
    drills = policies.visible_drills(request.user).with_places()
    drill = drills.filter(pk=policies.asked_key(request.GET.get("drill"))).first()
    begun = drills.filter(starts_at__lte=now).order_by("-starts_at", "id")
    offered = list(begun.values_list("pk", flat=True)[:DRILLS_OFFERED])
    if drill is not None:
        offered.append(drill.pk)

    def save(form):
        incident = services.report_incident(request.user, form.save(commit=False))
        return _("Reported."), reverse("incident-detail", args=[incident.pk])

    form = IncidentForm(
        request.POST or None,
        instance=Incident(school=request.user.school),
        drills=drills.filter(pk__in=offered).order_by("-starts_at", "id"),
        sites=policies.visible_sites(request.user),
        zone=SchoolSettings.of(request.user.school).zone,
        initial={"drill": drill and drill.pk, "day": drill and drill.local_start.date()},
    )
    return form_page(
        request,
        form,
        save=save,
        heading=_("Report an incident or a near miss"),
        intro=_(
            "Look after people first; write afterwards. A report cannot be changed later: what is "
            "learnt or was wrong is added to it. Staff of the school read it, students do not."
        ),
        submit=_("Save the report"),
        cancel=reverse("drill-detail", args=[drill.pk]) if drill else reverse("incident-list"),
    )


def incident_note(request: HttpRequest, pk: int) -> HttpResponse:
    incident = _visible(request, pk)
    back = reverse("incident-detail", args=[pk])

    def save(form):
        services.add_note(request.user, incident, form.cleaned_data["text"])
        return _("The note is added."), back

    return form_page(
        request,
        NoteForm(request.POST or None),
        save=save,
        heading=_("Add to the report: %s") % incident,
        submit=_("Add the note"),
        cancel=back,
    )


def follow_up_add(request: HttpRequest, pk: int) -> HttpResponse:
    incident = _visible(request, pk)
    back = reverse("incident-detail", args=[pk])

    def save(form):
        data = form.cleaned_data
        services.add_follow_up(
            request.user,
            incident,
            task=data["task"],
            person=data["person"],
            due_on=data["due_on"],
        )
        return _("The follow-up is added."), back

    form = FollowUpForm(
        request.POST or None,
        instance=FollowUp(incident=incident, added_by=request.user),
        people=policies.staff(request.user),
    )
    return form_page(
        request,
        form,
        save=save,
        heading=_("Follow-up to %s") % incident,
        submit=_("Add the follow-up"),
        cancel=back,
    )


def follow_up_close(request: HttpRequest, pk: int) -> HttpResponse:
    follow_ups = policies.visible_follow_ups(request.user).select_related("incident")
    follow_up = policies.get_visible(follow_ups, pk=pk)
    policies.require(policies.may_close(request.user, follow_up))
    back = reverse("incident-detail", args=[follow_up.incident_id])

    def save(form):
        services.close_follow_up(request.user, follow_up, note=form.cleaned_data["note"])
        return _("Marked as done."), back

    return form_page(
        request,
        DoneForm(request.POST or None),
        save=save,
        heading=_("Done: “%s”") % follow_up,
        intro=_("Done stays done; if more is needed, add another follow-up."),
        submit=_("Mark as done"),
        cancel=back,
    )


def _visible(request: HttpRequest, pk: int) -> Incident:
    incidents = policies.visible_incidents(request.user).select_related(
        "site", "drill__exercise", "drill__cohort", "reported_by"
    )
    return policies.get_visible(incidents, pk=pk)
