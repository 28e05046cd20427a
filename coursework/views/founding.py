"""The very first page: it makes the school, and is gone as soon as there is one."""

from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from coursework import services
from coursework.forms.people import FoundingForm
from coursework.models import School
from coursework.setup_code import forget_setup_code
from coursework.views.invitations import BACKEND


@login_not_required
def found_school(request: HttpRequest) -> HttpResponse:
    if School.objects.exists():
        raise Http404
    form = FoundingForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        cleaned = form.cleaned_data
        try:
            person = services.found_first_school(
                name=cleaned["school"],
                admin_name=cleaned["name"],
                username=cleaned["username"],
                password=cleaned["password"],
            )
        except ValidationError as error:
            form.add_error(None, ValidationError(error.messages))
        else:
            forget_setup_code()
            login(request, person, backend=BACKEND)
            return redirect("home")
    return render(
        request,
        "coursework/founding.html",
        {"form": form, "heading": _("Set up your school"), "submit": _("Set up the school")},
    )
