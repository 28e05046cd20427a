"""Forms for courses and exercises."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Fieldset, Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.models import Course, Exercise, Method
from coursework.models.methods import judged_choices


class CourseForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Course
        fields = ["title", "summary"]
        widgets = {"summary": forms.Textarea(attrs={"rows": 4})}

    def clean(self):
        among = Course.objects.filter(school=self.instance.school_id)
        if taken(self, "title", among):
            self.add_error("title", _("The school already has a course of this title."))
        return super().clean()


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
            "position",
        ]
        widgets = {
            "task": forms.Textarea(attrs={"rows": 3}),
            "steps": forms.Textarea(attrs={"rows": 6}),
            "judged_on": forms.RadioSelect,
            "rule": forms.RadioSelect,
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["tolerance"].help_text = _(
            "Degrees to either side where a line is laid; percent for distances; metres from "
            "the true point for positions and arrivals; nothing for a checklist."
        )
        self.fields["tolerance"].required = False
        self.fields["position"].label = _("Place in the course")
        self.fields["position"].help_text = _("1 comes first.")
        # Results are logged with the fields of the method: it cannot change under them.
        if self.instance.pk is not None and self.instance.drills.exists():
            self.fields["method"].disabled = True
            self.fields["method"].help_text = _(
                "Drills of this exercise are planned or were held, so the method stays. "
                "Add another exercise for another method."
            )

    def layout(self):
        return Layout(
            Fieldset(_("What is done"), "title", "method", "task", "steps"),
            Fieldset(
                _("The standard"),
                AppendedText("target_deg", _("° true")),
                "tolerance",
                "judged_on",
                "rule",
                "attempts_needed",
            ),
            Fieldset(_("Order"), "position"),
        )

    def clean_tolerance(self):
        tolerance = self.cleaned_data["tolerance"]
        if self.cleaned_data.get("method") == Method.CHECKLIST:
            return 0.0  # none of the steps may be missing
        if tolerance is None:
            raise ValidationError(self.fields["tolerance"].error_messages["required"])
        return tolerance

    def clean_judged_on(self):
        """What a method can only be judged on in one way is not asked twice."""
        possible = judged_choices(self.cleaned_data.get("method", ""))
        return possible[0] if len(possible) == 1 else self.cleaned_data["judged_on"]

    def clean(self):
        among = Exercise.objects.filter(course=self.instance.course_id)
        if taken(self, "title", among):
            self.add_error("title", _("The course already has an exercise of this title."))
        return super().clean()
