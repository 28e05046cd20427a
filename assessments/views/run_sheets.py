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
from coursework.policies import (
    instructs_anywhere,
    require,
    visible_drills,
    visible_planned_lessons,
)

# A date lasts from 14 hours before to 12 hours after it does in UTC, at one place or another.
_NEAR = timedelta(hours=14)
_DAY = timedelta(days=1)


@require_safe
def day_run_sheet(request: HttpRequest, day: str) -> HttpResponse:
    """All drills and lessons of a date of the cohorts that one instructs; 404 without any."""
    require(instructs_anywhere(request.user))
    try:
        on = date.fromisoformat(day)
    except ValueError as error:
        raise Http404 from error
    begin = datetime.combine(on, time(), UTC)
    ours = assessed_cohorts(request.user).order_by().values("pk")

    def of_the_date(rows, *related: str) -> list:
        near = rows.filter(cohort__in=ours).between(
            begin - _NEAR, begin + timedelta(days=1) + _NEAR
        )
        found = near.with_places().with_people().prefetch_related("plan_exceptions", *related)
        return [booking for booking in found if booking.local_start.date() == on]

    drills = of_the_date(visible_drills(request.user), "exercise__lessons")
    lessons = of_the_date(visible_planned_lessons(request.user))
    if not drills and not lessons:
        raise Http404(_("No drill or lesson of yours is planned on that date."))
    sheet = run_sheet(on, drills, lessons, school=request.user.school, now=timezone.now())
    content = render_pdf(sheet, paper=paper_of(request))
    return pdf_response(content, f"{_('run sheet')} {on}")
