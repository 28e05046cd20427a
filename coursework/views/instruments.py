"""Compasses and protractors of the school, and their checks against surveyed marks."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import exports, policies, services
from coursework.filters import InstrumentFilter
from coursework.forms.instruments import InstrumentCheckForm, InstrumentForm
from coursework.models import Instrument, ReferenceMark, SchoolSettings
from coursework.templatetags.coursework import side
from coursework.views.pages import confirm_page, form_page, list_page, page_of, removal_page


def instrument_list(request: HttpRequest) -> HttpResponse:
    policies.require(policies.instructs_anywhere(request.user))
    instruments = policies.visible_instruments(request.user).most_urgent_first()
    narrowed = InstrumentFilter(request.GET, instruments, find=_("Find an instrument"))
    return list_page(
        request,
        "coursework/instrument_list.html",
        narrowed,
        name="instruments",
        columns=exports.INSTRUMENTS,
        today=timezone.localdate(),
        may_arrange=policies.may_arrange_school(request.user),
    )


def instrument_detail(request: HttpRequest, pk: int) -> HttpResponse:
    instrument = _visible(request, pk)
    may_arrange = policies.may_arrange(request.user, instrument)
    checks = instrument.checks.last_first().select_related("site", "checked_by")
    return render(
        request,
        "coursework/instrument_detail.html",
        {
            "instrument": instrument,
            "is_overdue": instrument.is_overdue(timezone.localdate()),
            "page": page_of(request, checks),
            "may_arrange": may_arrange,
        },
    )


def instrument_add(request: HttpRequest) -> HttpResponse:
    policies.require(policies.may_arrange_school(request.user))
    settings = SchoolSettings.of(request.user.school)
    instrument = Instrument(
        school=request.user.school, check_interval_days=settings.check_interval_days
    )
    return _edit(
        request, instrument, heading=_("New instrument"), cancel=reverse("instrument-list")
    )


def instrument_edit(request: HttpRequest, pk: int) -> HttpResponse:
    instrument = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, instrument))
    return _edit(
        request,
        instrument,
        heading=_("Edit %s") % instrument,
        intro=_("Results already logged keep the correction they were scored with."),
        cancel=reverse("instrument-detail", args=[pk]),
        remove=reverse("instrument-remove", args=[pk]),
    )


def instrument_check(request: HttpRequest, pk: int) -> HttpResponse:
    """Held against a surveyed mark: what it read, several times over."""
    instrument = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, instrument))
    back = reverse("instrument-detail", args=[pk])

    def save(form):
        data = form.cleaned_data
        names = ("mark", "from_mark", "checked_at", "resolution_deg", "remark")
        made = services.record_check(
            request.user,
            instrument,
            readings_deg=data["readings"],
            **{name: data[name] for name in names if name in data},
        )
        told = _("Checked: off by %(offset)s, standard uncertainty of a reading %(u)s°.") % {
            "offset": side(-made.offset_deg),
            "u": f"{made.reading_u_deg:.1f}",
        }
        return told, back

    marks = ReferenceMark.objects.filter(site__school=request.user.school_id)
    return form_page(
        request,
        InstrumentCheckForm(request.POST or None, instrument=instrument, marks=marks),
        save=save,
        template="coursework/instrument_check.html",
        heading=_("Check %s against a surveyed mark") % instrument,
        submit=_("Save the check"),
        cancel=back,
        instrument=instrument,
        has_marks=marks.exists(),
    )


def instrument_retire(request: HttpRequest, pk: int) -> HttpResponse:
    """Out of use, or back into it."""
    instrument = _visible(request, pk)
    policies.require(policies.may_arrange(request.user, instrument))
    back = reverse("instrument-detail", args=[pk])
    if instrument.is_retired:
        words = {
            "heading": _("Take %s back into use?") % instrument,
            "explanation": _("It is offered for checks of lines again, as it was before."),
            "submit": _("Take it back into use"),
            "harmless": True,
        }
        change, told = services.take_back, _("%s is back in use.") % instrument
    else:
        words = {
            "heading": _("Retire %s?") % instrument,
            "explanation": _(
                "It is no longer offered for checks of lines. Its history and the results that "
                "were checked with it stay. It can be taken back into use."
            ),
            "submit": _("Retire the instrument"),
        }
        change, told = services.retire, _("%s is retired.") % instrument

    def act() -> str:
        change(request.user, instrument)
        return told

    return confirm_page(request, act=act, cancel=back, done=back, **words)


def instrument_remove(request: HttpRequest, pk: int) -> HttpResponse:
    instrument = _visible(request, pk)
    return removal_page(
        request,
        instrument,
        heading=_("Remove %s?") % instrument,
        explanation=_("This cannot be undone."),
        submit=_("Remove the instrument"),
        told=_("%s is removed.") % instrument,
        cancel=reverse("instrument-detail", args=[pk]),
        done=reverse("instrument-list"),
    )


def _visible(request: HttpRequest, pk: int) -> Instrument:
    return policies.get_visible(policies.visible_instruments(request.user), pk=pk)


def _edit(request, instrument, *, heading, cancel, intro="", remove=None) -> HttpResponse:
    def save(form):
        saved = form.save()
        return _("%s is saved.") % saved, reverse("instrument-detail", args=[saved.pk])

    return form_page(
        request,
        InstrumentForm(request.POST or None, instance=instrument),
        save=save,
        heading=heading,
        intro=intro,
        submit=_("Save the instrument"),
        cancel=cancel,
        remove=remove,
        remove_label=_("Remove the instrument…"),
    )
