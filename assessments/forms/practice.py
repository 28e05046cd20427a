"""What a student practised, and where."""

from datetime import datetime, time, timedelta

from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from assessments import policies
from coursework.forms.look import CrispyLook
from coursework.models import Cohort, Exercise, Person, Site


class PracticeForm(CrispyLook, forms.Form):
    """Exercises of the courses of one's cohorts, and the sites of one's school."""

    exercise = forms.ChoiceField(label=_("Exercise"))
    site = forms.ModelChoiceField(label=_("Site"), queryset=Site.objects.none(), empty_label=None)

    day = forms.DateField(
        label=_("Date"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, *args, person: Person, **kwargs):
        super().__init__(*args, **kwargs)
        cohorts = policies.practised_cohorts(person).select_related("course")
        self._cohorts = {cohort.pk: cohort for cohort in cohorts}
        exercises = Exercise.objects.filter(
            course__in={cohort.course_id for cohort in self._cohorts.values()}
        ).order_by("position", "id")
        self._exercises = {exercise.pk: exercise for exercise in exercises}
        groups = [
            (
                f"{cohort.name}, {cohort.course.title}",
                [
                    (f"{cohort.pk}-{exercise.pk}", exercise.title)
                    for exercise in self._exercises.values()
                    if exercise.course_id == cohort.course_id
                ],
            )
            for cohort in self._cohorts.values()
        ]
        self.fields["exercise"].choices = groups
        self.fields["site"].queryset = policies.practice_sites(person)

    @property
    def has_choice(self) -> bool:
        """Whether there is anything to practise, and anywhere."""
        return bool(self._exercises) and self.fields["site"].queryset.exists()

    def layout(self):
        return Layout("exercise", "site", "day")

    def clean_day(self):
        day = self.cleaned_data["day"]
        if day > timezone.localdate() + timedelta(days=1):
            raise ValidationError(_("That day is still to come."))
        return day

    @property
    def chosen(self) -> tuple[Cohort, Exercise, Site]:
        """What a valid form says."""
        cohort, exercise = map(int, self.cleaned_data["exercise"].split("-"))
        return self._cohorts[cohort], self._exercises[exercise], self.cleaned_data["site"]

    @property
    def starts_at(self) -> datetime:
        """Now where it is today at the site, otherwise noon of the day."""
        zone = self.cleaned_data["site"].zone_info
        now, day = timezone.now(), self.cleaned_data["day"]
        if now.astimezone(zone).date() == day:
            return now
        return datetime.combine(day, time(12), tzinfo=zone)
