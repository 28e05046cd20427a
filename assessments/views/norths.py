"""True, grid and magnetic north at a site on any day."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from assessments.forms.norths import DayForm
from assessments.norths import NorthsPage
from coursework.norths import norths_of
from coursework.policies import get_visible, visible_sites


def site_norths(request: HttpRequest, pk: int) -> HttpResponse:
    """As of the day asked for, today at the site where none is."""
    site = get_visible(visible_sites(request.user), pk=pk)
    today = timezone.now().astimezone(site.zone_info).date()
    form = DayForm(request.GET if "on" in request.GET else None, initial={"on": today})
    day = form.cleaned_data["on"] if form.is_bound and form.is_valid() else today
    context = {"site": site, "form": form, "norths": NorthsPage(norths_of(site, day))}
    return render(request, "assessments/norths_page.html", context)
