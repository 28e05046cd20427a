"""Forms for letting people in: invitations by link, and rosters."""

import uuid

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.text import format_lazy
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook
from coursework.models import Cohort, Role
from coursework.roster import LARGEST_BYTES
from coursework.services.invitations import LONGEST_DAYS, MOST_AT_ONCE


class InvitationForm(CrispyLook, forms.Form):
    """Links into a cohort in a role, or into the school."""

    SCHOOL, ADMIN = "school", "admin"

    into = forms.ChoiceField(label=_("Invite into"))
    role = forms.ChoiceField(
        label=_("Role in the cohort"),
        choices=Role,
        initial=Role.STUDENT,
        widget=forms.RadioSelect,
        required=False,
    )
    names = forms.CharField(
        label=_("For whom"),
        required=False,
        max_length=MOST_AT_ONCE * 121,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_("One name a line makes one link each. Leave it blank for links without names."),
    )
    number = forms.IntegerField(
        label=_("Links without names"),
        required=False,
        initial=1,
        min_value=1,
        max_value=MOST_AT_ONCE,
        help_text=_("How many, where no names are given above. Each link lets one person in."),
    )
    days = forms.IntegerField(label=_("Valid for"), initial=14, min_value=1, max_value=LONGEST_DAYS)
    asked = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args, cohorts: QuerySet[Cohort], may_invite_to_school: bool, **kwargs):
        kwargs["initial"] = {"asked": uuid.uuid4(), **kwargs.get("initial", {})}
        super().__init__(*args, **kwargs)
        self.cohorts = {str(cohort.pk): cohort for cohort in cohorts}
        choices = [
            (pk, gettext("the cohort “%(cohort)s” (%(course)s)")
             % {"cohort": cohort.name, "course": cohort.course.title})
            for pk, cohort in self.cohorts.items()
        ]  # fmt: skip
        if may_invite_to_school:
            choices += [
                (self.SCHOOL, _("the school, without a role yet")),
                (self.ADMIN, _("the school, as its administrator")),
            ]
        self.fields["into"].choices = choices

    def layout(self):
        return Layout("into", "role", "names", "number", AppendedText("days", _("days")), "asked")

    def clean_names(self):
        names = [" ".join(line.split()) for line in self.cleaned_data["names"].splitlines()]
        names = [name for name in names if name]
        if len(names) > MOST_AT_ONCE:
            raise ValidationError(
                _("At most %(most)d names at once; these are %(number)d."),
                params={"most": MOST_AT_ONCE, "number": len(names)},
            )
        if any(len(name) > 120 for name in names):
            raise ValidationError(_("A name has at most 120 characters."))
        return names

    def clean(self):
        cleaned = super().clean()
        into = cleaned.get("into")
        cleaned["cohort"] = self.cohorts.get(into)
        cleaned["makes_admin"] = into == self.ADMIN
        if cleaned["cohort"] is None:
            cleaned["role"] = ""
        elif not cleaned.get("role") and "role" not in self.errors:
            self.add_error("role", _("Choose the role in the cohort."))
        cleaned["notes"] = cleaned.get("names") or [""] * (cleaned.get("number") or 1)
        return cleaned


class AskedForm(CrispyLook, forms.Form):
    """A confirmation that carries a mark of its own, so that sending it twice makes one thing."""

    asked = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args, **kwargs):
        kwargs["initial"] = {"asked": uuid.uuid4(), **kwargs.get("initial", {})}
        super().__init__(*args, **kwargs)


class RosterForm(CrispyLook, forms.Form):
    roster = forms.FileField(
        label=_("CSV file"),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,text/csv,text/plain"}),
        error_messages={"empty": _("The file is empty.")},
        help_text=format_lazy(_("At most {size} kB."), size=LARGEST_BYTES // 1024),
    )


class RosterConfirmForm(AskedForm):
    """Carries the file's text from the preview to the confirmation: it is stored nowhere."""

    content = forms.CharField(widget=forms.HiddenInput, strip=False, max_length=LARGEST_BYTES)
