"""The planner of a site: the hours of a year and a day, and the sun card."""

from datetime import date

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.cache import patch_vary_headers
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_safe

from assessments.forms.planner import PlannerForm
from assessments.hours import PlannedHours
from assessments.sheets import hours_sheet, sun_card_sheet
from assessments.sheets.svg import to_svg
from assessments.sheets.year_map import SCREEN_SHEET
from assessments.views.sheets import paper_of, pdf_response
from coursework.forms.drills import FIRST_YEAR, LAST_YEAR
from coursework.models import Site
from coursework.policies import get_visible, require_open, visible_sites


@require_safe
def planner(request: HttpRequest, pk: int) -> HttpResponse:
    """The whole page, or for htmx what is inside it; another site has an address of its own."""
    site, form = _asked(request, pk)
    context = {"site": site, "form": form}
    if form.is_valid():
        planned = PlannedHours(form.asked)
        if form.asked.site != site:
            return redirect(planned.address("planner"))
        context |= _drawn(planned) | {
            "planned": planned,
            "address": planned.address("planner"),
            "sheet_address": planned.address("planner-sheet"),
            "for_script": planned.for_script,
        }
    part = request.htmx and not request.htmx.history_restore_request
    template = "assessments/planner_part.html" if part else "assessments/planner.html"
    response = render(request, template, context)
    if part and "address" in context:
        response["HX-Push-Url"] = context["address"]
    # The same address has two answers; a browser must not keep one for the other.
    patch_vary_headers(response, ["HX-Request"])
    response["Cache-Control"] = "private, no-cache"
    return response


@require_safe
def planner_map(request: HttpRequest, pk: int) -> HttpResponse:
    """The picture of the year, one indexed PNG."""
    planned = _planned(request, pk)
    return _kept(request, planned.tag, planned.png, "image/png")


@gzip_page
@require_safe
def planner_values(request: HttpRequest, pk: int) -> HttpResponse:
    """Errors and scatters of the year, packed: see `MethodYear.packed`."""
    planned = _planned(request, pk)
    return _kept(request, planned.year.key, planned.year.packed, "application/octet-stream")


@require_safe
def planner_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    planned = _planned(request, pk)
    content = hours_sheet.render_pdf(planned, paper=paper_of(request))
    return pdf_response(content, f"{planned.asked.site} {planned.asked.method}")


@require_safe
def sun_card(request: HttpRequest, pk: int) -> HttpResponse:
    """The sun card of a date, today's where none is asked for."""
    site = _site(request, pk)
    card = sun_card_sheet.card_of(site, _date(request, site))
    if card is None:
        raise Http404(_("The calendar of this place skips that date."))
    content = sun_card_sheet.render_pdf(card, paper=paper_of(request))
    return pdf_response(content, f"sun card {site} {card.date}")


def _site(request: HttpRequest, pk: int) -> Site:
    site = get_visible(visible_sites(request.user).select_related("school"), pk=pk)
    require_open(request.user, site)
    return site


def _asked(request: HttpRequest, pk: int) -> tuple[Site, PlannerForm]:
    site = _site(request, pk)
    form = PlannerForm(
        request.GET, site=site, sites=visible_sites(request.user), today=_today(site)
    )
    return site, form


def _planned(request: HttpRequest, pk: int) -> PlannedHours:
    """What a part of the page shows; an address that no page makes has none."""
    site, form = _asked(request, pk)
    if not form.is_valid() or form.asked.site != site:
        raise Http404
    return PlannedHours(form.asked)


def _drawn(planned: PlannedHours) -> dict:
    """The drawings as SVG."""
    said = planned.drawing_words()
    day = planned.day(SCREEN_SHEET)
    return {
        "map": to_svg(
            planned.map(href=planned.picture_address, sheet=SCREEN_SHEET),
            prefix="hours-map",
            title=said["map"],
            description=_("The day runs across, the year down. Tables below say it in figures."),
        ),
        "legend": to_svg(planned.legend(SCREEN_SHEET), prefix="hours-legend", title=said["legend"]),
        "day": day
        and to_svg(
            day,
            prefix="hours-day",
            title=said["day"],
            description=_("A table below has the same values every half an hour."),
        ),
    }


def _kept(request: HttpRequest, tag: str, make, content_type: str) -> HttpResponse:
    """Content that a browser keeps, but asks each time whether it still may show it."""
    etag = f'"{tag}"'
    known = request.headers.get("If-None-Match", "").replace("W/", "")
    if etag in [word.strip() for word in known.split(",")]:
        response = HttpResponse(status=304)
    else:
        response = HttpResponse(make(), content_type=content_type)
    response["ETag"] = etag
    response["Cache-Control"] = "private, no-cache"
    return response


def _today(site: Site) -> date:
    return timezone.now().astimezone(site.zone_info).date()


def _date(request: HttpRequest, site: Site) -> date:
    """The date asked for; 404 where it is none, or beyond the years that are computed."""
    text = request.GET.get("date", "")
    if not text:
        return _today(site)
    try:
        day = date.fromisoformat(text)
    except ValueError as error:
        raise Http404 from error
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise Http404
    return day
