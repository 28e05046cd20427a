"""Forms for one's own account."""

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
