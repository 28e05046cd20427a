"""What is asked about a record: another date, an answer, another tolerance."""

from datetime import date

from crispy_forms.layout import Column, Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.bookings import FIRST_YEAR, LAST_YEAR
from coursework.forms.look import CrispyLook


class OtherDateForm(CrispyLook, forms.Form):
    """Blank asks for nothing."""

    day = forms.DateField(
        label=_("Date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )

    def clean_day(self) -> date | None:
        day = self.cleaned_data["day"]
        if day is not None and not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise ValidationError(
                _("The sun is computed for the years %(first)s to %(last)s only."),
                params={"first": FIRST_YEAR, "last": LAST_YEAR},
            )
        return day


class BearingAnswerForm(CrispyLook, forms.Form):
    answer = forms.FloatField(
        label=_("True bearing, degrees"), min_value=0.0, max_value=360.0, required=False
    )

    @property
    def answer_deg(self) -> float | None:
        return self.cleaned_data["answer"]


class ErrorAnswerForm(CrispyLook, forms.Form):
    answer = forms.FloatField(
        label=_("Off by, degrees"), min_value=0.0, max_value=180.0, required=False
    )
    side = forms.ChoiceField(
        label=_("Side"),
        choices=[("right", _("to the right")), ("left", _("to the left"))],
        required=False,
    )

    def layout(self):
        return Layout(Row(Column("answer"), Column("side")))

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("answer") and not cleaned.get("side"):
            self.add_error("side", _("Say to which side."))
        return cleaned

    @property
    def answer_deg(self) -> float | None:
        size = self.cleaned_data["answer"]
        if size is None:
            return None
        return -size if self.cleaned_data["side"] == "left" else size


class ToleranceForm(CrispyLook, forms.Form):
    """A standard's tolerance as it might be, in the unit of the exercise."""

    exercise = forms.TypedChoiceField(label=_("Exercise"), coerce=int)
    tolerance = forms.FloatField(
        label=_("Tolerance"),
        min_value=0.1,
        max_value=5000.0,
        help_text=_("In the unit of the exercise: degrees, percent or metres."),
    )

    def __init__(self, *args, exercises, **kwargs):
        super().__init__(*args, **kwargs)
        self._exercises = {exercise.pk: exercise for exercise in exercises}
        self.fields["exercise"].choices = [
            (exercise.pk, f"{exercise.title} ({exercise.tolerance_in_words})")
            for exercise in exercises
        ]
        self.fields["tolerance"].widget.attrs |= {"step": "any", "inputmode": "decimal"}

    def layout(self):
        return Layout("exercise", "tolerance")

    @property
    def chosen(self):
        """The exercise of a valid form."""
        return self._exercises[self.cleaned_data["exercise"]]
