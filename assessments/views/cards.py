"""The emergency card of a drill."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments.sheets.emergency_card import render_pdf
from assessments.sheets.emergency_source import emergency_card
from assessments.views.sheets import paper_of, pdf_response
from coursework.policies import get_visible, may_see_emergency_card, require, visible_drills


def drill_emergency_card(request: HttpRequest, pk: int) -> HttpResponse:
    """For leads and assistants of the drill's cohort: it has what students shared."""
    drills = visible_drills(request.user).select_related(
        "exercise", "site", "cohort__course__school"
    )
    drill = get_visible(drills, pk=pk)
    require(may_see_emergency_card(request.user, drill))
    card = emergency_card(drill, request.user, now=timezone.now())
    response = pdf_response(
        render_pdf(card, paper=paper_of(request)), f"{_('emergency card')} {drill.site.name}"
    )
    # Health and telephone numbers are not for the caches along the way.
    response["Cache-Control"] = "no-store, private"
    return response
