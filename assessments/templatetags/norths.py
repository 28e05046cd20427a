"""The three norths of a site on its page."""

from django import template
from django.utils import timezone

from assessments.norths import NorthsPage
from coursework.models import Site
from coursework.norths import norths_of

register = template.Library()


@register.inclusion_tag("assessments/norths.html")
def site_norths(site: Site) -> dict:
    """The north diagram of a site as of today, with its angles and how to convert bearings."""
    today = timezone.now().astimezone(site.zone_info).date()
    return {"site": site, "norths": NorthsPage(norths_of(site, today)), "is_today": True}
