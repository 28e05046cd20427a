"""Forms for courses and exercises."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Fieldset, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.models import Course, Exercise


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
            "tolerance_deg",
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
        # The unit beside the field says it already.
        self.fields["tolerance_deg"].help_text = ""
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
                AppendedText("tolerance_deg", _("° either side")),
                "judged_on",
                "rule",
                "attempts_needed",
            ),
            Fieldset(_("Order"), "position"),
        )

    def clean(self):
        among = Exercise.objects.filter(course=self.instance.course_id)
        if taken(self, "title", among):
            self.add_error("title", _("The course already has an exercise of this title."))
        return super().clean()
