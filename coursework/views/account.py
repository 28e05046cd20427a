"""Signing in and out, one's own password and profile."""

from django.contrib.auth.views import LoginView

from coursework.forms.account import SignInForm


class SignIn(LoginView):
    template_name = "registration/login.html"
    form_class = SignInForm
    redirect_authenticated_user = True
