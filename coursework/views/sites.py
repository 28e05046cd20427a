"""Sites and their reference marks."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies, services
from coursework.filters import SiteFilter
from coursework.forms.places import MarkForm, SiteForm
from coursework.models import ReferenceMark, Site
from coursework.sun import sun_of_day
from coursework.views.pages import form_page, page_of, removal_page


def site_list(request: HttpRequest) -> HttpResponse:
    sites = policies.visible_sites(request.user).with_numbers()
    narrowed = SiteFilter(request.GET, sites, find=_("Find a site"))
    return render(
        request,
        "coursework/site_list.html",
        {
            "page": page_of(request, narrowed.qs),
            "filter": narrowed,
            "may_arrange": policies.may_arrange_school(request.user),
        },
    )


def site_detail(request: HttpRequest, pk: int) -> HttpResponse:
    site = _visible(request, pk)
    may_arrange = policies.may_arrange(request.user, site)
    today = timezone.now().astimezone(site.zone_info).date()
    return render(
        request,
        "coursework/site_detail.html",
        {
            "site": site,
            "marks": site.marks.all(),
            "sun": sun_of_day(site, today),
            "may_arrange": may_arrange,
            "may_remove": may_arrange and not services.is_held(site),
        },
    )


def site_add(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    site = Site(school=request.user.school)
    return _edit(request, site, heading=_("New site"), cancel=reverse("site-list"))


def site_edit(request: HttpRequest, pk: int) -> HttpResponse:
    site = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, site))
    return _edit(
        request,
        site,
        heading=_("Edit “%s”") % site,
        intro=_("Results already logged keep the position and the skyline they were scored with."),
        cancel=reverse("site-detail", args=[pk]),
    )


def site_remove(request: HttpRequest, pk: int) -> HttpResponse:
    site = _visible(request, pk)
    return removal_page(
        request,
        site,
        heading=_("Remove the site “%s”?") % site,
        explanation=_("Its reference marks are removed with it. This cannot be undone."),
        submit=_("Remove the site"),
        told=_("The site “%s” is removed.") % site,
        cancel=reverse("site-detail", args=[pk]),
        done=reverse("site-list"),
    )


def mark_add(request: HttpRequest, site_pk: int) -> HttpResponse:
    site = _visible(request, site_pk)
    policies.require(policies.may_arrange(request.user, site))

    def save(form):
        mark = form.save()
        return _("The mark “%s” is added.") % mark, reverse("site-detail", args=[site_pk])

    return form_page(
        request,
        MarkForm(request.POST or None, instance=ReferenceMark(site=site)),
        save=save,
        heading=_("New reference mark at “%s”") % site,
        submit=_("Add the mark"),
        cancel=reverse("site-detail", args=[site_pk]),
    )


def mark_remove(request: HttpRequest, pk: int) -> HttpResponse:
    marks = ReferenceMark.objects.filter(site__in=policies.visible_sites(request.user))
    mark = policies.get_visible(marks.select_related("site"), pk=pk)
    site_page = reverse("site-detail", args=[mark.site_id])
    return removal_page(
        request,
        mark,
        heading=_("Remove the mark “%s”?") % mark,
        explanation=_("Results already logged keep its bearing."),
        submit=_("Remove the mark"),
        told=_("The mark “%s” is removed.") % mark,
        cancel=site_page,
        done=site_page,
    )


def _visible(request: HttpRequest, pk: int) -> Site:
    return policies.get_visible(policies.visible_sites(request.user), pk=pk)


def _edit(request, site, *, heading, cancel, intro="") -> HttpResponse:
    def save(form):
        saved = form.save()
        return _("“%s” is saved.") % saved, reverse("site-detail", args=[saved.pk])

    return form_page(
        request,
        SiteForm(request.POST or None, instance=site),
        save=save,
        template="coursework/site_form.html",
        heading=heading,
        intro=intro,
        submit=_("Save the site"),
        cancel=cancel,
    )
