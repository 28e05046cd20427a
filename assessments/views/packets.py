"""Packets: shown, printed, downloaded, withdrawn; and what lapses when."""

from crispy_forms.utils import render_crispy_form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _

from assessments import exports
from assessments.certification import expiry, issuing, policies
from assessments.certification.credential import signed_credential
from assessments.certification.keys import school_key
from assessments.certification.packet_file import packet_file
from assessments.certification.standing import today_of
from assessments.forms.certification import SOON_DAYS, DaysForm, ReasonForm
from assessments.models import Packet
from assessments.policies import readable_attempts, require_own_open
from assessments.views.sheets import paper_of, pdf_response
from coursework.forms.look import untouched
from coursework.listing import csv_response, wants_csv
from coursework.models import SchoolSettings
from coursework.policies import get_visible, require
from coursework.qr import qr_code
from coursework.views.pages import form_page, page_of


def packet_detail(request: HttpRequest, pk: int) -> HttpResponse:
    packet = _visible(request, pk)
    rows = packet.sign_offs.select_related("skill", "reopened_by__recorded_by")
    signed_off = list(rows.order_by("skill__position", "skill__pk"))
    context = {
        "packet": packet,
        "state": packet.state(today_of(packet.certification.school)),
        "sign_offs": signed_off,
        "changed": [one for one in signed_off if one.withdrawn_at or one.reopened_at],
        "qr": qr_code(packet.check_address),
        "key": school_key(packet.certification.school),
        "may_withdraw": policies.may_withdraw_packet(request.user, packet),
    }
    return render(request, "assessments/packet_detail.html", context)


def packet_pdf(request: HttpRequest, pk: int) -> HttpResponse:
    """The packet with the school's signature in it."""
    packet = _visible(request, pk)
    if packet.student == request.user:
        require_own_open(request.user, readable_attempts(request.user).filter(assessed=True))
    content = packet_file(packet, paper=paper_of(request))
    return pdf_response(content, f"packet {packet.number_in_groups}")


def packet_credential(request: HttpRequest, pk: int) -> HttpResponse:
    packet = _visible(request, pk)
    school = packet.certification.school
    text = signed_credential(packet, school_key(school), SchoolSettings.of(school).zone)
    name = f"credential-{packet.number_in_groups}.jwt"
    return HttpResponse(
        text,
        content_type="application/vc+jwt",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def packet_withdraw(request: HttpRequest, pk: int) -> HttpResponse:
    packet = _visible(request, pk)
    require(policies.may_withdraw_packet(request.user, packet))

    def save(form):
        issuing.withdraw_packet(request.user, packet, form.cleaned_data["reason"])
        return _("The certificate is withdrawn: whoever checks it is told so."), (
            packet.get_absolute_url()
        )

    return form_page(
        request,
        ReasonForm(request.POST or None),
        save=save,
        heading=_("Withdraw the certificate of %s?") % packet.holder,
        intro=_(
            "Whoever checks it is told that it was withdrawn, not why. This cannot be taken back: "
            "a new certificate would have to be issued."
        ),
        submit=_("Withdraw the certificate"),
        harmful=True,
        cancel=packet.get_absolute_url(),
    )


def expiry_list(request: HttpRequest) -> HttpResponse:
    form, packets, today = _lapsing(request)
    if wants_csv(request):
        return csv_response("certificates", exports.CERTIFICATES, packets)
    context = {
        "may_save": True,
        "form": render_crispy_form(form) if form.is_bound else untouched(DaysForm),
        "page": page_of(request, packets),
        "today": today,
        "query": request.GET.urlencode(),
    }
    return render(request, "assessments/expiry_list.html", context)


def expiry_calendar(request: HttpRequest) -> HttpResponse:
    _form, packets, _today = _lapsing(request)
    return HttpResponse(
        expiry.calendar_of(packets),
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="certificates.ics"'},
    )


def _lapsing(request: HttpRequest):
    require(policies.may_see_expiry(request.user))
    form = DaysForm(request.GET if "days" in request.GET else None)
    days = form.cleaned_data["days"] if form.is_bound and form.is_valid() else SOON_DAYS
    today = today_of(request.user.school)
    packets = policies.visible_packets(request.user).select_related("certification")
    return form, expiry.lapsing(packets, today, days), today


def _visible(request: HttpRequest, pk: int) -> Packet:
    packets = policies.visible_packets(request.user).select_related(
        "certification__school", "student"
    )
    return get_visible(packets, pk=pk)
