"""Forms for certifications, sign-offs and packets."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Fieldset, Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from assessments.models import Certification, CertifiedSkill
from coursework.forms.look import CrispyLook
from coursework.forms.several import SeveralField
from coursework.models import Exercise, Lesson

SOON_DAYS = 90


class CertificationForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Certification
        fields = ["title", "scope", "validity_months", "renewal", "change_note"]
        labels = {"validity_months": _("Valid for")}
        widgets = {
            "scope": forms.Textarea(attrs={"rows": 5}),
            "change_note": forms.Textarea(attrs={"rows": 2}),
            "renewal": forms.RadioSelect,
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.number == 1:
            del self.fields["change_note"]
            self.helper.layout = self.layout()

    def layout(self):
        named = [name for name in ("title", "scope", "change_note") if name in self.fields]
        return Layout(
            Fieldset(_("What it certifies"), *named),
            Fieldset(
                _("How long it holds"), AppendedText("validity_months", _("months")), "renewal"
            ),
        )


class _ExerciseChoices(forms.ModelChoiceField):
    def label_from_instance(self, exercise: Exercise) -> str:
        return f"{exercise.title}, {exercise.course.title_with_version}"


class _LessonChoices(SeveralField):
    def label_from_instance(self, lesson: Lesson) -> str:
        return f"{lesson.title}, {lesson.course.title_with_version}"


class SkillForm(CrispyLook, forms.ModelForm):
    """The exercise fills in what is left blank: title and numbers of its own standard."""

    exercise = _ExerciseChoices(
        queryset=Exercise.objects.none(),
        label=_("Exercise"),
        empty_label=_("choose an exercise"),
        help_text=_("Results at it count in every version of its course."),
    )
    lessons = _LessonChoices(
        queryset=Lesson.objects.none(),
        label=_("Lessons attended"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = CertifiedSkill
        fields = [
            "title",
            "within_needed",
            "of_last",
            "distinct_days",
            "both_halves",
            "distinct_assessors",
            "not_older_days",
        ]
        help_texts = {"not_older_days": _("Blank where the age of an attempt does not matter.")}

    field_order = ["exercise"]

    def __init__(self, *args, exercises, lessons, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["exercise"].queryset = exercises
        self.fields["lessons"].queryset = lessons
        self.fields["title"].required = False
        self.fields["title"].help_text = _("Blank takes the title of the exercise.")
        if self.instance.pk:
            self.initial["exercise"] = exercises.filter(key=self.instance.exercise_key).first()
            keys = [key for key, _title in self.instance.lessons]
            self.initial["lessons"] = lessons.filter(key__in=keys)

    def layout(self):
        return Layout(
            Fieldset(_("The skill"), "exercise", "title"),
            Fieldset(
                _("What has to be shown"),
                "within_needed",
                "of_last",
                "distinct_days",
                "distinct_assessors",
                "both_halves",
                AppendedText("not_older_days", _("days")),
            ),
            Fieldset(_("What comes with it"), "lessons"),
        )

    def clean_exercise(self):
        exercise = self.cleaned_data["exercise"]
        others = self.instance.certification.skills.exclude(pk=self.instance.pk)
        if others.filter(exercise_key=exercise.key).exists():
            raise forms.ValidationError(_("This exercise is a skill of the certification already."))
        return exercise


class ReasonForm(CrispyLook, forms.Form):
    reason = forms.CharField(
        label=_("Reason"), max_length=300, widget=forms.Textarea(attrs={"rows": 3})
    )


class RepeatForm(CrispyLook, forms.Form):
    reason = forms.CharField(label=_("Note"), max_length=300, required=False)


class SignForm(CrispyLook, forms.Form):
    """A reason only where attempts are flagged."""

    flags_accepted = forms.CharField(
        label=_("Why the flagged attempts are accepted"),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args, flagged: bool, **kwargs):
        super().__init__(*args, **kwargs)
        if not flagged:
            del self.fields["flags_accepted"]


class IssueForm(CrispyLook, forms.Form):
    family_name = forms.CharField(
        label=_("Family name"),
        max_length=120,
        help_text=_(
            "As it stands in the holder’s name. Whoever checks the certificate has to know it "
            "before they are shown the name."
        ),
    )


class CheckForm(CrispyLook, forms.Form):
    number = forms.CharField(
        label=_("Number of the certificate"),
        max_length=40,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    family_name = forms.CharField(
        label=_("Family name of the holder"),
        max_length=120,
        required=False,
        help_text=_("With it the holder’s name is shown; without it only whether it is valid."),
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class DaysForm(CrispyLook, forms.Form):
    days = forms.IntegerField(
        label=_("Lapses within"), min_value=1, max_value=3650, initial=SOON_DAYS
    )

    def layout(self):
        return Layout(AppendedText("days", _("days")))
