"""The second step at sign-in: asked for, set up, its spare codes, switched off."""

import base64
import time

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme, urlencode
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from coursework import policies
from coursework.forms.account import CodeForm, PasswordAgainForm
from coursework.models import Person
from coursework.qr import qr_code
from coursework.services import second_step
from coursework.views.pages import confirm_page, form_page

_WAITING = "waiting for the second step"
WAITS_S = 5 * 60


def wait_for_code(request: HttpRequest, person: Person, going_to: str) -> HttpResponse:
    """Keep in the session whose password was right, and ask for the code."""
    request.session.cycle_key()
    request.session[_WAITING] = {"person": person.pk, "backend": person.backend, "at": time.time()}
    return redirect(f"{reverse('sign-in-code')}?{urlencode({'next': going_to})}")


@login_not_required
@never_cache
@sensitive_post_parameters("code")
def sign_in_code(request: HttpRequest) -> HttpResponse:
    waiting = request.session.get(_WAITING)
    person = None
    if waiting and 0 <= time.time() - waiting["at"] <= WAITS_S:
        person = Person.objects.filter(pk=waiting["person"], is_active=True).first()
    if person is None:
        request.session.pop(_WAITING, None)
        messages.error(request, _("That took too long. Please sign in again."))
        return redirect("sign-in")
    form = CodeForm(request.POST or None)
    if form.is_valid():
        if second_step.code_fits(person, form.cleaned_data["code"]):
            del request.session[_WAITING]
            login(request, person, backend=waiting["backend"])
            return redirect(_allowed(request))
        form.add_error(
            "code",
            _(
                "That code does not fit, or was used before. Wait for the next one; after wrong "
                "codes it takes a little longer each time."
            ),
        )
    return render(
        request,
        "registration/code.html",
        {"form": form, "next": request.POST.get("next", request.GET.get("next", ""))},
    )


def _allowed(request: HttpRequest) -> str:
    """The page asked for, where it is one of this site."""
    wanted = request.POST.get("next", "")
    if url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    ):
        return wanted
    return resolve_url(settings.LOGIN_REDIRECT_URL)


@never_cache
def second_step_page(request: HttpRequest) -> HttpResponse:
    """How it stands; where it is off, its key and the first code that switches it on."""
    person = request.user
    if second_step.asks_for_code(person):
        left = second_step.spare_codes_left(person)
        return render(request, "coursework/second_step_on.html", {"left": left})
    form = CodeForm(request.POST or None)
    form.fields["code"].help_text = _("Six digits.")
    if form.is_valid():
        try:
            codes = second_step.start_second_step(person, form.cleaned_data["code"])
        except ValidationError as error:
            form.add_error("code", error)
        else:
            return render(request, "coursework/spare_codes.html", {"codes": codes})
    device = second_step.begin_second_step(person)
    key = base64.b32encode(device.bin_key).decode("ascii").rstrip("=")
    return render(
        request,
        "coursework/second_step_off.html",
        {
            "form": form,
            "qr": qr_code(device.config_url),
            "key": " ".join(key[at : at + 4] for at in range(0, len(key), 4)),
        },
    )


@never_cache
def second_step_codes(request: HttpRequest) -> HttpResponse:
    """New spare codes in place of the old; the password is asked for again."""
    if not second_step.asks_for_code(request.user):
        return redirect("second-step")
    form = PasswordAgainForm(request.user, request.POST or None)
    if form.is_valid():
        codes = second_step.renew_spare_codes(request.user)
        return render(request, "coursework/spare_codes.html", {"codes": codes})
    return render(
        request,
        "coursework/form.html",
        {
            "form": form,
            "heading": _("New spare codes"),
            "intro": _("The spare codes you have no longer count once the new ones are made."),
            "submit": _("Make new spare codes"),
            "cancel": reverse("second-step"),
        },
    )


def second_step_stop(request: HttpRequest) -> HttpResponse:
    """Switch one's own off; the password is asked for again."""

    def save(form):
        second_step.stop_second_step(request.user, request.user)
        return _("The second step is off."), reverse("profile")

    return form_page(
        request,
        PasswordAgainForm(request.user, request.POST or None),
        save=save,
        heading=_("Switch the second step off"),
        intro=_("From then on your password alone signs you in."),
        submit=_("Switch it off"),
        harmful=True,
        cancel=reverse("profile"),
    )


def person_second_step(request: HttpRequest, pk: int) -> HttpResponse:
    """An administrator switches off that of someone who has lost their device."""
    person = policies.get_visible(policies.listed_people(request.user), pk=pk)
    policies.require(policies.may_stop_second_step(request.user, person))
    back = reverse("person-detail", args=[pk])

    def act() -> str:
        second_step.stop_second_step(request.user, person)
        return _("The second step of %s is off.") % person.name

    return confirm_page(
        request,
        act=act,
        cancel=back,
        done=back,
        heading=_("Switch off the second step of %s?") % person.name,
        explanation=_(
            "For someone who has lost both their device and their spare codes. Make sure that it "
            "is really they who ask: from then on the password alone signs them in."
        ),
        submit=_("Switch it off"),
    )
