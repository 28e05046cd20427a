"""The day of which the norths are shown."""

from datetime import date

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook

FIRST_YEAR, LAST_YEAR = 1990, 2050


class DayForm(CrispyLook, forms.Form):
    on = forms.DateField(
        label=_("As of"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"invalid": _("That is not a date.")},
    )

    def clean_on(self) -> date:
        day = self.cleaned_data["on"]
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise ValidationError(
                _("Between %(first)s and %(last)s."),
                params={"first": FIRST_YEAR, "last": LAST_YEAR},
            )
        return day
