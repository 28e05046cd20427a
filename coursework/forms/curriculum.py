"""The form for an exercise and its standard."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Fieldset, Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.models import Exercise, Lesson, Method
from coursework.models.methods import is_by_sun, judged_choices


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

    def layout(self):
        parts = [
            Fieldset(_("What is done"), "title", "method", "task", "steps"),
            Fieldset(
                _("The standard"),
                AppendedText("target_deg", _("° true")),
                "tolerance",
                "judged_on",
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

    def clean(self):
        among = Exercise.objects.filter(course=self.instance.course_id)
        if taken(self, "title", among):
            self.add_error("title", _("The course already has an exercise of this title."))
        return super().clean()
