"""Forms for one's own account."""

from django import forms
from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook


class SignInForm(CrispyLook, AuthenticationForm):
    error_messages = {
        "invalid_login": _(
            "That name and password do not go together. Capitals count in both. If you have "
            "forgotten your password, your course lead can give you a new one."
        ),
        "inactive": _("This account is closed."),
    }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Sign-in name")


class PasswordForm(CrispyLook, PasswordChangeForm):
    pass


class CodeForm(CrispyLook, forms.Form):
    """The code of a second step, or a spare code."""

    code = forms.CharField(
        label=_("Code"),
        max_length=20,
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "autocapitalize": "none", "spellcheck": "false"}
        ),
        help_text=_("Six digits from your device, or one of your spare codes."),
    )


class PasswordAgainForm(CrispyLook, forms.Form):
    """One's own password, asked for again before the account becomes weaker."""

    password = forms.CharField(
        label=_("Your password"),
        max_length=128,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )

    def __init__(self, person, *args, **kwargs):
        self.person = person
        super().__init__(*args, **kwargs)

    def clean_password(self) -> str:
        password = self.cleaned_data["password"]
        if not self.person.check_password(password):
            raise forms.ValidationError(_("That is not your password."))
        return password
