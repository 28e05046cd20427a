"""Forms for people: their accounts, invitations, what they share, and approvals."""

from crispy_forms.layout import HTML, Fieldset, Layout
from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook
from coursework.models import Approval, Contact, Person, School
from coursework.setup_code import is_setup_code

DATE = {"type": "date"}
SIGN_IN_NAME = _("Letters, digits and @ . + - _ only; no one else has it.")
TAKEN = _("Someone already has this sign-in name.")


def _password(label, autocomplete="new-password") -> forms.CharField:
    return forms.CharField(
        label=label,
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": autocomplete}),
    )


class ChosenPasswordForm(CrispyLook, forms.Form):
    """A password of one's own, typed twice."""

    password = _password(_("Password"))
    again = _password(_("The same password again"))

    def __init__(self, *args, person: Person | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.person = person
        self.fields["password"].help_text = _("At least 10 characters, not a common word.")

    def person_of(self, cleaned: dict) -> Person:
        return self.person or Person(
            name=cleaned.get("name", ""), username=cleaned.get("username", "")
        )

    def clean(self):
        cleaned = super().clean()
        password, again = cleaned.get("password"), cleaned.get("again")
        if password and again and password != again:
            self.add_error("again", _("This is not the same password."))
        if password:
            try:
                validate_password(password, self.person_of(cleaned))
            except ValidationError as error:
                self.add_error("password", error)
        return cleaned


def _username_field() -> forms.CharField:
    return forms.CharField(
        label=_("Sign-in name"),
        max_length=Person._meta.get_field("username").max_length,
        validators=[Person.username_validator],
        help_text=SIGN_IN_NAME,
        widget=forms.TextInput(attrs={"autocapitalize": "none", "autocomplete": "username"}),
    )


class _NewAccountForm(ChosenPasswordForm):
    def clean_username(self):
        username = Person.normalize_username(self.cleaned_data["username"])
        if Person.objects.filter(username__iexact=username).exists():
            raise ValidationError(TAKEN)
        return username


class JoinForm(_NewAccountForm):
    """A new account for whoever follows an invitation."""

    name = forms.CharField(
        label=_("Your name"), max_length=120, help_text=_("As it is to stand on certificates.")
    )
    username = _username_field()
    field_order = ["name", "username", "password", "again"]


class FoundingForm(_NewAccountForm):
    """The first school of an installation and its administrator."""

    school = forms.CharField(
        label=_("Name of the school"), max_length=School._meta.get_field("name").max_length
    )
    name = forms.CharField(
        label=_("Your name"),
        max_length=120,
        help_text=_("You become the administrator of the school, and can name others later."),
    )
    username = _username_field()
    code = forms.CharField(
        label=_("Setup code"),
        max_length=40,
        help_text=_(
            "Whoever looks after this server reads it there with “manage.py setup_code”. It shows "
            "that the installation is yours to set up."
        ),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false"}
        ),
    )
    field_order = ["code", "school", "name", "username", "password", "again"]

    def clean_code(self):
        if not is_setup_code(self.cleaned_data["code"]):
            raise ValidationError(_("This is not the setup code of this installation."))
        return self.cleaned_data["code"]


class PersonForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Person
        fields = ["name", "username", "is_school_admin"]
        labels = {"username": _("Sign-in name")}
        help_texts = {
            "username": SIGN_IN_NAME,
            "name": _("Results logged already keep the name that stood then."),
        }
        error_messages = {"username": {"unique": TAKEN}}
        widgets = {"username": forms.TextInput(attrs={"autocapitalize": "none"})}


class ContactForm(CrispyLook, forms.ModelForm):
    """What one shares for an emergency; unticking takes it back and deletes it."""

    emergency_agreed = forms.BooleanField(
        label=_("I agree that those who go out with me may see this contact."), required=False
    )
    medical_agreed = forms.BooleanField(
        label=_("I agree that those who go out with me may read this note."), required=False
    )

    class Meta:
        model = Contact
        fields = ["emergency_name", "emergency_phone", "medical_note"]
        widgets = {
            "medical_note": forms.Textarea(attrs={"rows": 4, "maxlength": 1000}),
            "emergency_phone": forms.TextInput(attrs={"type": "tel"}),
        }
        help_texts = {
            "emergency_phone": _("With the country’s number in front, such as +41 …"),
            "medical_note": _(
                "What whoever helps you must know: allergies, medicine you carry, conditions. "
                "Nothing that you do not want to share; you may leave it blank."
            ),
        }

    def __init__(self, *args, **kwargs):
        contact = kwargs["instance"]
        kwargs["initial"] = {
            "emergency_agreed": contact.emergency_agreed_at is not None,
            "medical_agreed": contact.medical_agreed_at is not None,
        }
        super().__init__(*args, **kwargs)
        self.had = dict(kwargs["initial"])

    def layout(self):
        untick = _("Untick the box to take your agreement back: what you wrote is then deleted.")
        note = HTML(f'<p class="form-text">{untick}</p>')
        return Layout(
            Fieldset(
                _("Whom to call"), "emergency_name", "emergency_phone", "emergency_agreed", note
            ),
            Fieldset(_("Medical note"), "medical_note", "medical_agreed", note),
        )

    def clean(self):
        cleaned = super().clean()
        name, phone = cleaned.get("emergency_name"), cleaned.get("emergency_phone")
        if "emergency_phone" not in self.errors:
            self._check_agreed("emergency_agreed", bool(name or phone))
        if cleaned.get("emergency_agreed"):
            for field, value in (("emergency_name", name), ("emergency_phone", phone)):
                if not value and field not in self.errors:
                    self.add_error(field, _("A contact needs a name and a telephone number."))
        self._check_agreed("medical_agreed", bool(cleaned.get("medical_note")))
        return cleaned

    def _check_agreed(self, field: str, is_written: bool) -> None:
        # Unticked where it was ticked before is taking back, not forgetting to tick.
        if is_written and not self.cleaned_data.get(field) and not self.had[field]:
            self.add_error(field, _("Tick this to share it, or leave the text above blank."))

    @property
    def shared(self) -> dict:
        """What `services.share_contact` takes."""
        cleaned = self.cleaned_data
        emergency = (cleaned["emergency_name"], cleaned["emergency_phone"])
        return {
            "emergency": emergency if cleaned["emergency_agreed"] else None,
            "medical": cleaned["medical_note"] if cleaned["medical_agreed"] else "",
        }


class ApprovalForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Approval
        fields = ["kind", "detail", "issued_on", "expires_on"]
        labels = {"kind": _("Kind"), "detail": _("Details")}
        widgets = {
            "issued_on": forms.DateInput(attrs=DATE, format="%Y-%m-%d"),
            "expires_on": forms.DateInput(attrs=DATE, format="%Y-%m-%d"),
        }

    def clean(self):
        cleaned = super().clean()
        first, last = cleaned.get("issued_on"), cleaned.get("expires_on")
        if first and last and last < first:
            self.add_error("expires_on", _("The last day is before the day it was issued."))
        return cleaned


class EraseForm(CrispyLook, forms.Form):
    """The sign-in name typed once more, before what cannot be undone."""

    username = forms.CharField(
        label=_("The sign-in name, to confirm"),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "none"}),
    )

    def __init__(self, *args, person: Person, **kwargs):
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_username(self):
        if self.cleaned_data["username"] != self.person.username:
            raise ValidationError(_("This is not the sign-in name of the person."))
        return self.cleaned_data["username"]
