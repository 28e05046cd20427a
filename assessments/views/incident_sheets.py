"""Reports of incidents and near misses on paper."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from assessments.sheets.incident_sheet import IncidentLog, render_log, render_report, report_of
from assessments.sheets.moments import local_moment
from assessments.views.sheets import paper_of, pdf_response
from coursework.filters import IncidentFilter
from coursework.models import Incident, SchoolSettings
from coursework.policies import get_visible, may_arrange_school, require, visible_incidents


@require_safe
def incident_report(request: HttpRequest, pk: int) -> HttpResponse:
    """One report, for the staff who may read it."""
    incident = get_visible(_with_all(visible_incidents(request.user)), pk=pk)
    now = timezone.now()
    report = report_of(incident, today=now.astimezone(incident.local_time.tzinfo).date())
    printed = _printed(now, incident.zone)
    content = render_report(report, printed=printed, paper=paper_of(request))
    return _kept_by_nobody(pdf_response(content, report.title))


@require_safe
def incident_log(request: HttpRequest) -> HttpResponse:
    """All reports as the list shows them, narrowed or not: for course leads."""
    require(may_arrange_school(request.user))
    incidents = visible_incidents(request.user)
    narrowed = IncidentFilter(request.GET, incidents.with_open(), find="")
    now = timezone.now()
    # In the order of time: on paper there is nothing to be done at the top of it.
    rows = _with_all(Incident.objects.filter(pk__in=[row.pk for row in narrowed.qs]))
    log = IncidentLog(
        school=request.user.school.name,
        printed=_printed(now, SchoolSettings.of(request.user.school).zone),
        reports=tuple(
            report_of(row, today=now.astimezone(row.local_time.tzinfo).date())
            for row in rows.order_by("-occurred_at", "-id")
        ),
        narrowed=narrowed.is_narrowed,
    )
    content = render_log(log, paper=paper_of(request))
    return _kept_by_nobody(pdf_response(content, _("incidents and near misses")))


def _with_all(incidents):
    return incidents.select_related(
        "school", "site", "drill__exercise", "drill__cohort", "reported_by"
    ).prefetch_related("follow_ups__person", "notes__by")


def _printed(now, zone: str) -> str:
    return _("printed %(when)s") % {"when": local_moment(now, zone)}


def _kept_by_nobody(response: HttpResponse) -> HttpResponse:
    # Who was hurt is not for the caches along the way.
    response["Cache-Control"] = "no-store, private"
    return response
