"""The form for an exercise and its standard."""

import json

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Fieldset, Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.forms.several import SeveralField
from coursework.models import Exercise, Lesson, Method
from coursework.models.methods import (
    Unit,
    is_by_sun,
    judged_choices,
    unit_of,
    unused_fields,
)


def what_applies() -> dict[str, dict]:
    """By method: what it can be judged on with the unit of each, and the fields it has no use for.

    The script of the page shows no others; blank is a method that is still to be chosen.
    """
    return {
        method: {
            "judged_on": {
                judged: str(Unit(unit_of(method, judged)).label)
                for judged in judged_choices(method)
            },
            "unused": list(unused_fields(method)),
        }
        for method in ("", *Method.values)
    }


class ExerciseForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Exercise
        fields = [
            "title",
            "method",
            "task",
            "steps",
            "target_deg",
            "tolerance",
            "judged_on",
            "rule",
            "attempts_needed",
            "distinct_days",
            "distinct_assessors",
            "forenoon_and_afternoon",
            "wants_wrong_hours",
            "lessons",
        ]
        field_classes = {"lessons": SeveralField}
        widgets = {
            "task": forms.Textarea(attrs={"rows": 3}),
            "steps": forms.Textarea(attrs={"rows": 6}),
            "judged_on": forms.RadioSelect,
            "rule": forms.RadioSelect,
            "lessons": forms.CheckboxSelectMultiple,
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["tolerance"].help_text = _(
            "Degrees to either side where a line is laid; percent for distances; metres from "
            "the true point for positions and arrivals; nothing for a checklist."
        )
        self.fields["tolerance"].required = False
        for name in unused_fields(self._method):
            self.fields[name].required = False
        self.fields["method"].widget.attrs["data-applies"] = json.dumps(what_applies())
        before = Lesson.objects.filter(course=self.instance.course_id)
        self.fields["lessons"].queryset = before.order_by("position", "id")
        if not before:
            del self.fields["lessons"]
            self.helper.layout = self.layout()
        # What counts towards a standard is counted over all versions of the exercise.
        if self.instance.pk is not None and self.instance.is_in_earlier_version:
            self.fields["method"].disabled = True
            self.fields["method"].help_text = _(
                "Earlier versions of the course have this exercise, so the method stays. "
                "Add another exercise for another method."
            )

    @property
    def _method(self) -> str:
        """The method as chosen now; what is no method is said by its field."""
        chosen = self.data.get("method") if self.is_bound else self.instance.method
        return chosen if chosen in Method.values else self.instance.method

    def layout(self):
        judged_on = self.data.get("judged_on") or self.instance.judged_on
        unit = Unit(unit_of(self._method, judged_on)).label
        parts = [
            Fieldset(_("What is done"), "title", "method", "task", "steps"),
            Fieldset(
                _("The standard"),
                AppendedText("target_deg", _("° true")),
                "judged_on",
                AppendedText("tolerance", unit),
                "rule",
            ),
            Fieldset(
                _("The evidence"),
                "attempts_needed",
                "distinct_days",
                "distinct_assessors",
                "forenoon_and_afternoon",
            ),
            Fieldset(_("The hours"), "wants_wrong_hours"),
        ]
        if "lessons" in self.fields:
            parts.append(Fieldset(_("Order"), "lessons"))
        return Layout(*parts)

    def clean_tolerance(self):
        tolerance = self.cleaned_data["tolerance"]
        if self.cleaned_data.get("method") == Method.CHECKLIST:
            return 0.0  # none of the steps may be missing
        if tolerance is None:
            raise ValidationError(self.fields["tolerance"].error_messages["required"])
        return tolerance

    def clean_wants_wrong_hours(self):
        wanted = self.cleaned_data["wants_wrong_hours"]
        if wanted and not is_by_sun(self.cleaned_data.get("method", "")):
            raise ValidationError(
                _("Only the methods of the sun are right at one hour and wrong at another.")
            )
        return wanted

    def clean_judged_on(self):
        """What a method can only be judged on in one way is not asked twice."""
        possible = judged_choices(self.cleaned_data.get("method", ""))
        return possible[0] if len(possible) == 1 else self.cleaned_data["judged_on"]

    def clean_target_deg(self):
        return self._used("target_deg")

    def clean_rule(self):
        return self._used("rule")

    def _used(self, name: str):
        """What was entered, or the first value where the method has no use for the field."""
        if name in unused_fields(self.cleaned_data.get("method", "")):
            return Exercise._meta.get_field(name).get_default()
        return self.cleaned_data[name]

    def clean(self):
        among = Exercise.objects.filter(course=self.instance.course_id)
        if taken(self, "title", among):
            self.add_error("title", _("The course already has an exercise of this title."))
        return super().clean()
