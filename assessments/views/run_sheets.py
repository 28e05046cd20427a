"""The run sheet of a day."""

from datetime import UTC, date, datetime, time, timedelta

from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from assessments.policies import assessed_cohorts
from assessments.sheets.run_sheet import render_pdf
from assessments.sheets.run_sheet_source import run_sheet
from assessments.views.sheets import paper_of, pdf_response
from coursework.policies import instructs_anywhere, require, visible_drills

# A date lasts from 14 hours before to 12 hours after it does in UTC, at one place or another.
_NEAR = timedelta(hours=14)


@require_safe
def day_run_sheet(request: HttpRequest, day: str) -> HttpResponse:
    """All drills of a date of the cohorts that one instructs; 404 where there is none."""
    require(instructs_anywhere(request.user))
    try:
        on = date.fromisoformat(day)
    except ValueError as error:
        raise Http404 from error
    begin = datetime.combine(on, time(), UTC)
    near = visible_drills(request.user).filter(
        cohort__in=assessed_cohorts(request.user).order_by().values("pk")
    )
    drills = [
        drill
        for drill in near.between(begin - _NEAR, begin + timedelta(days=1) + _NEAR)
        .with_places()
        .with_people()
        .prefetch_related("exercise__lessons", "plan_exceptions")
        if drill.local_start.date() == on
    ]
    if not drills:
        raise Http404(_("No drill of yours is planned on that date."))
    sheet = run_sheet(on, drills, school=request.user.school, now=timezone.now())
    content = render_pdf(sheet, paper=paper_of(request))
    return pdf_response(content, f"{_('run sheet')} {on}")
