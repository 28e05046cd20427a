"""Compasses and protractors of the school."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework import policies
from coursework.forms.common import SearchForm
from coursework.forms.places import InstrumentForm
from coursework.models import Instrument
from coursework.views.pages import form_page, page_of, removal_page


def instrument_list(request: HttpRequest) -> HttpResponse:
    policies.require(policies.instructs_anywhere(request.user))
    search = SearchForm(request.GET, label=_("Find an instrument"))
    instruments = policies.visible_instruments(request.user)
    if search.words:
        instruments = instruments.filter(label__icontains=search.words)
    return render(
        request,
        "coursework/instrument_list.html",
        {
            "page": page_of(request, instruments),
            "search": search,
            "may_arrange": policies.may_arrange_school(request.user),
        },
    )


def instrument_add(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    return _edit(request, Instrument(school=request.user.school), heading=_("New instrument"))


def instrument_edit(request: HttpRequest, pk: int) -> HttpResponse:
    instrument = policies.get_visible(policies.visible_instruments(request.user), pk=pk)
    policies.require(policies.may_arrange(request.user, instrument))
    return _edit(
        request,
        instrument,
        heading=_("Edit %s") % instrument,
        intro=_("Results already logged keep the correction they were scored with."),
        remove=reverse("instrument-remove", args=[pk]),
    )


def instrument_remove(request: HttpRequest, pk: int) -> HttpResponse:
    instrument = policies.get_visible(policies.visible_instruments(request.user), pk=pk)
    return removal_page(
        request,
        instrument,
        heading=_("Remove %s?") % instrument,
        explanation=_("This cannot be undone."),
        submit=_("Remove the instrument"),
        told=_("%s is removed.") % instrument,
        cancel=reverse("instrument-list"),
        done=reverse("instrument-list"),
    )


def _edit(request, instrument, *, heading, intro="", remove=None) -> HttpResponse:
    def save(form):
        return _("%s is saved.") % form.save(), reverse("instrument-list")

    return form_page(
        request,
        InstrumentForm(request.POST or None, instance=instrument),
        save=save,
        heading=heading,
        intro=intro,
        submit=_("Save the instrument"),
        cancel=reverse("instrument-list"),
        remove=remove,
        remove_label=_("Remove the instrument…"),
    )
