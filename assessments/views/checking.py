"""The public page that says whether a certificate is valid."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from assessments.certification.checking import WINDOW_S, is_too_often, look_up
from assessments.forms.certification import CheckForm
from coursework.lockout import sender_of


@login_not_required
@never_cache
@sensitive_post_parameters("family_name")
def certificate_check(request: HttpRequest, number: str = "") -> HttpResponse:
    """State by the number; the holder's name only to whoever sends the family name with it.

    The name is sent in the body of the request, so that it stands in no log of addresses.
    """
    form = CheckForm(request.POST or None, initial={"number": number})
    context = {"form": form, "asked": bool(number) or request.method == "POST"}
    if context["asked"]:
        if is_too_often(sender_of(request)):
            response = render(request, "assessments/certificate_busy.html", status=429)
            response["Retry-After"] = str(WINDOW_S)
            return response
        if request.method != "POST":
            context["answer"] = look_up(number, "")
        elif form.is_valid():
            sent = form.cleaned_data
            context["answer"] = look_up(sent["number"], sent["family_name"])
        else:
            context["asked"] = False
    return render(request, "assessments/certificate_check.html", context)
