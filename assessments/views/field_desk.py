"""What comes of the field log at the desk: notes for the lead, the headcount on paper."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from assessments import exports, policies
from assessments.field.headcount import last_count, who_is_out
from assessments.field.notes import settle
from coursework.listing import csv_response, wants_csv
from coursework.models import Role, SchoolSettings
from coursework.policies import get_visible, may_assess, require, visible_drills
from coursework.views.pages import page_of


def lead_notes(request: HttpRequest) -> HttpResponse:
    """Results that could not be stored as such; those not dealt with first."""
    notes = policies.visible_notes(request.user).select_related(
        "noted_by", "settled_by", "cohort__course"
    )
    notes = notes.order_by("settled_at", "-received_at", "id")
    if wants_csv(request):
        return csv_response("notes", exports.NOTES, notes)
    page = page_of(request, notes)
    arranged = policies.cohorts_to_settle(request.user)
    zone = SchoolSettings.of(request.user.school).zone
    context = {"page": page, "arranged": arranged, "may_save": True, "zone": zone}
    return render(request, "assessments/lead_notes.html", context)


@require_POST
def lead_note_settle(request: HttpRequest, pk: int) -> HttpResponse:
    note = get_visible(policies.visible_notes(request.user).select_related("cohort"), pk=pk)
    settle(request.user, note)
    messages.success(request, _("Marked as dealt with. The note stays."))
    return redirect("lead-notes")


def headcount_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """A page to print: everyone's name, who is out by now, and room to write."""
    drills = visible_drills(request.user).select_related("exercise", "site", "cohort__course")
    drill = get_visible(drills, pk=pk)
    require(may_assess(request.user, drill.cohort))
    enrolments = drill.cohort.enrolments.filter(role=Role.STUDENT).select_related("person")
    events = list(drill.headcount_events.select_related("noted_by"))
    out = {one.student: one for one in who_is_out(events)}
    groups = drill.cohort.groups.all().by_student()
    rows = [
        (row.person, groups.get(row.person_id, ""), out.get(row.person_id))
        for row in enrolments.order_by("person__name", "person_id")
    ]
    context = {
        "drill": drill,
        # Group by group, as they stand together; whoever is in none comes last.
        "rows": sorted(rows, key=lambda row: (not row[1], row[1])),
        "count": last_count(events),
        "blank_rows": range(3),
        "now": timezone.now(),
    }
    return render(request, "assessments/headcount_sheet.html", context)
