"""Ways from other pages to the planner and the sun card of a site."""

from datetime import date

from django import template
from django.urls import reverse
from django.utils.http import urlencode

from assessments import policies
from coursework.models import Exercise, Site

register = template.Library()


@register.inclusion_tag("assessments/hours_links.html", takes_context=True)
def hours_links(context, site: Site, day: date | None = None, exercise: Exercise | None = None):
    """Planner and sun card of a site; on a date, and held to an exercise's standard, if given."""
    if not policies.may_see_hours(context["request"].user, site):
        return {}
    asked = {} if day is None else {"day": day.isoformat()}
    if exercise is not None and exercise.is_by_sun:
        asked |= {"method": exercise.method, "tolerance": f"{exercise.tolerance:g}"}
    card = reverse("sun-card", args=[site.pk])
    return {
        "planner": _with(reverse("planner", args=[site.pk]), asked),
        "card": card if day is None else _with(card, {"date": day.isoformat()}),
        "letter": _with(card, ({"date": day.isoformat()} if day else {}) | {"paper": "letter"}),
    }


def _with(address: str, asked: dict[str, str]) -> str:
    return f"{address}?{urlencode(asked)}" if asked else address
