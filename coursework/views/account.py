"""Signing in, one's own password and profile."""

from django.contrib.auth import update_session_auth_hash
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _

from coursework.forms.account import PasswordForm, SignInForm
from coursework.forms.cohorts import HandForm
from coursework.views.pages import form_page


class SignIn(LoginView):
    template_name = "registration/login.html"
    form_class = SignInForm
    redirect_authenticated_user = True


def profile(request: HttpRequest) -> HttpResponse:
    """One's own name, roles and hand."""

    def save(form):
        form.save()
        return _("Saved."), reverse("profile")

    roles = request.user.enrolments.select_related("cohort__course")
    return form_page(
        request,
        HandForm(request.POST or None, instance=request.user),
        save=save,
        template="coursework/profile.html",
        roles=roles,
    )


def password_change(request: HttpRequest) -> HttpResponse:
    def save(form):
        form.save()
        # The session is bound to the old password: without this one would be signed out.
        update_session_auth_hash(request, form.user)
        return _("Your password is changed. Other devices are signed out."), reverse("profile")

    return form_page(
        request,
        PasswordForm(request.user, request.POST or None),
        save=save,
        heading=_("Change your password"),
        submit=_("Change the password"),
        cancel=reverse("profile"),
    )
