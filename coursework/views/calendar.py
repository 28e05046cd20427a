"""The calendar of the drills and lessons that someone may see, and its private address."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from coursework import policies, services
from coursework.calendar_days import VIEWS, Span
from coursework.drill_policies import own_drills, own_planned_lessons
from coursework.feed_entries import entries_of
from coursework.forms.bookings import FIRST_YEAR, LAST_YEAR
from coursework.forms.common import ConfirmForm
from coursework.ical import CONTENT_TYPE, calendar_of
from coursework.models import CalendarFeed, SchoolSettings
from coursework.views.pages import confirm_page

KEPT = timedelta(days=400)
"""How long a drill or a lesson stays in the private calendar after it was held."""


@require_safe
def calendar(request: HttpRequest) -> HttpResponse:
    """A month, a week or the coming weeks; the agenda where nothing is asked for."""
    today = _today(request)
    view = request.GET.get("view", "")
    span = Span.of(view if view in VIEWS else VIEWS[0], _date(request.GET.get("date"), today))
    shown = [
        booking
        for rows in _rows(request.user, own=_own(request))
        for booking in rows.between(*span.limits).with_places().with_people()
    ]
    days = span.days(shown) if span.view == "agenda" else []
    weeks = span.weeks(shown) if span.view != "agenda" else []
    return render(
        request,
        "coursework/calendar.html",
        {
            "span": span,
            "days": days,
            "weeks": weeks,
            "is_empty": not any(day.bookings for row in (days, *weeks) for day in row),
            "today": today,
            "own": _own(request),
            "views": [("agenda", _("Agenda")), ("week", _("Week")), ("month", _("Month"))],
            "may_print": policies.instructs_anywhere(request.user),
            "may_plan": policies.may_arrange_school(request.user),
        },
    )


def _rows(person, *, own: bool = True) -> tuple:
    """The drills and the planned lessons that someone may see, or those of the own calendar."""
    if own:
        return own_drills(person), own_planned_lessons(person)
    return policies.visible_drills(person), policies.visible_planned_lessons(person)


def feed(request: HttpRequest) -> HttpResponse:
    """The private address: whether there is one; sent, a new one is made and shown once."""
    address = ""
    if request.method == "POST":
        token = services.make_feed(request.user)
        address = request.build_absolute_uri(reverse("calendar-file", args=[token]))
    made = CalendarFeed.objects.filter(person=request.user).first()
    response = render(
        request,
        "coursework/calendar_feed.html",
        {"feed": made, "address": address, "form": ConfirmForm(), "zone": _zone(request)},
    )
    response["Cache-Control"] = "no-store, private"
    return response


def feed_revoke(request: HttpRequest) -> HttpResponse:
    back = reverse("calendar-feed")

    def act() -> str:
        services.revoke_feed(request.user)
        return _("The address is revoked: nothing can be read there any more.")

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Revoke your calendar’s address?"),
        explanation=_(
            "Programs that read it stop getting your drills and lessons. You can make a new one."
        ),
        submit=_("Revoke it"),
    )


@login_not_required
@require_safe
def feed_file(request: HttpRequest, token: str) -> HttpResponse:
    """What a calendar program reads; whoever has the address needs no sign-in."""
    found = policies.get_visible(
        CalendarFeed.objects.of_token(token).select_related("person__school")
    )
    person = found.person
    since = timezone.now() - KEPT
    bookings = [
        booking
        for rows in _rows(person)
        for booking in rows.filter(starts_at__gte=since)
        .with_places()
        .with_people()
        .order_by("starts_at", "id")
    ]

    def address(booking) -> str:
        name = "planned-lesson-detail" if booking.is_lesson else "drill-detail"
        return request.build_absolute_uri(reverse(name, args=[booking.pk]))

    content = calendar_of(
        bookings,
        name=_("Drills and lessons: %s") % (person.school or person),
        address=address,
        besides=entries_of(person),
    )
    response = HttpResponse(content, content_type=CONTENT_TYPE)
    response["Content-Disposition"] = 'inline; filename="drills.ics"'
    response["Cache-Control"] = "private, no-cache"
    return response


def _own(request: HttpRequest) -> bool:
    return request.GET.get("whose") != "all"


def _zone(request: HttpRequest) -> str:
    school = request.user.school
    return "UTC" if school is None else SchoolSettings.of(school).zone


def _today(request: HttpRequest) -> date:
    return timezone.now().astimezone(ZoneInfo(_zone(request))).date()


def _date(text: str | None, today: date) -> date:
    """The date of an address; today's where it is none or beyond the years of the planner."""
    try:
        day = date.fromisoformat(text or "")
    except ValueError:
        return today
    return day if FIRST_YEAR <= day.year <= LAST_YEAR else today
