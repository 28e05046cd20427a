"""Sites and their reference marks."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.coordinates import position_texts
from coursework.filters import SiteFilter
from coursework.forms.marks import MarkForm
from coursework.forms.position import read_aloud
from coursework.forms.sites import SiteForm
from coursework.forms.skyline import SkylineWidget, editor
from coursework.models import ReferenceMark, Site
from coursework.sun import sun_of_day
from coursework.views.pages import form_page, list_page, removal_page


def site_list(request: HttpRequest) -> HttpResponse:
    sites = policies.visible_sites(request.user).with_numbers()
    narrowed = SiteFilter(request.GET, sites, find=_("Find a site"))
    return list_page(
        request,
        "coursework/site_list.html",
        narrowed,
        name="sites",
        columns=exports.SITES,
        may_arrange=policies.may_arrange_school(request.user),
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
            "texts": position_texts(site.position),
            "rally_texts": site.rally_position and position_texts(site.rally_position),
            "marks": site.marks.all(),
            "sun": sun_of_day(site, today),
            "quiet": policies.quiet_drill(request.user, site),
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
    return _edit_mark(
        request,
        ReferenceMark(site=site),
        heading=_("New reference mark at “%s”") % site,
        submit=_("Add the mark"),
    )


def mark_edit(request: HttpRequest, pk: int) -> HttpResponse:
    mark = _visible_mark(request, pk)
    policies.require(policies.may_arrange(request.user, mark))
    return _edit_mark(
        request,
        mark,
        heading=_("Edit the mark “%s”") % mark,
        submit=_("Save the mark"),
        intro=_("Results already logged keep the bearing that they were scored with."),
        remove=reverse("mark-remove", args=[pk]),
        remove_label=_("Remove…"),
    )


def position_read(request: HttpRequest) -> HttpResponse:
    """A position as typed, in all ways of writing it; the one value of the query, however named."""
    typed = next(iter(request.GET.values()), "")
    return render(request, "coursework/position_forms.html", read_aloud(typed[:200]))


def skyline_editor(request: HttpRequest) -> HttpResponse:
    """The editor of a skyline with what was typed, after a button or a key; stores nothing."""
    policies.require(policies.may_arrange_school(request.user))
    entry = SkylineWidget().value_from_datadict(request.POST, {}, "horizon")
    return render(request, "coursework/widgets/skyline.html", editor(entry, name="horizon"))


def mark_remove(request: HttpRequest, pk: int) -> HttpResponse:
    mark = _visible_mark(request, pk)
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


def _visible_mark(request: HttpRequest, pk: int) -> ReferenceMark:
    marks = ReferenceMark.objects.filter(site__in=policies.visible_sites(request.user))
    return policies.get_visible(marks.select_related("site"), pk=pk)


def _edit_mark(request: HttpRequest, mark: ReferenceMark, **words) -> HttpResponse:
    site_page = reverse("site-detail", args=[mark.site_id])

    def save(form):
        return _("The mark “%s” is saved.") % form.save(), site_page

    form = MarkForm(request.POST or None, instance=mark)
    return form_page(request, form, save=save, cancel=site_page, **words)


def _edit(request, site, *, heading, cancel, intro="") -> HttpResponse:
    def save(form):
        saved = services.save_site(request.user, form.instance)
        return _("“%s” is saved.") % saved, reverse("site-detail", args=[saved.pk])

    if "horizon_action" in request.POST:
        # A button that only adds or removes rows, pressed where no script runs.
        form = SiteForm.redrawn(request.POST, instance=site)
    else:
        form = SiteForm(request.POST or None, instance=site)
    return form_page(
        request,
        form,
        save=save,
        template="coursework/site_form.html",
        heading=heading,
        intro=intro,
        submit=_("Save the site"),
        cancel=cancel,
    )
