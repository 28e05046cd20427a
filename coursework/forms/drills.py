"""The form for a drill: its start is typed as the clock of the site shows it."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Layout, Row
from django import forms
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from coursework.conflicts import Plan
from coursework.forms.bookings import BookingForm
from coursework.forms.moments import instant_of
from coursework.forms.several import SeveralField
from coursework.models import Cohort, Drill, Exercise, PlannedCheck, Site


class SiteChoices(forms.ModelChoiceField):
    def label_from_instance(self, site: Site) -> str:
        return f"{site.name} ({site.zone})"


class DrillForm(BookingForm):
    site = SiteChoices(label=_("Site"), queryset=Site.objects.none())

    class Meta:
        model = Drill
        fields = [
            "exercise",
            "site",
            "minutes",
            "assessed",
            "lead",
            "assistants",
            "groups",
            "planned_check",
            "heat_expected",
            "wet_plan",
            "pinned",
        ]
        field_classes = {"assistants": SeveralField, "groups": SeveralField}
        widgets = {
            "assistants": forms.CheckboxSelectMultiple,
            "groups": forms.CheckboxSelectMultiple,
        }
        labels = {"exercise": _("Exercise"), "assessed": _("The results count")}
        help_texts = {
            "minutes": "",
            "assessed": _("Leave it off for practice, which is scored and shown all the same."),
            "wet_plan": _("What the cohort does instead, such as “knots in the barn”."),
        }

    def __init__(self, *args, sites, staff, heat_unit: str = "C", results=False, **kwargs):
        """`staff`: who may be named; `results`: whether some have been logged, so that exercise
        and site stay."""
        self._heat_unit = heat_unit
        super().__init__(*args, **kwargs)
        cohort: Cohort = self.instance.cohort
        offered = Q(course=cohort.course_id)
        if self.instance.exercise_id is not None:
            # An older version of it, where the cohort has moved on and the drill has not.
            offered |= Q(pk=self.instance.exercise_id)
        self.fields["exercise"].queryset = Exercise.objects.filter(offered)
        self.fields["site"].queryset = sites
        for name in ("exercise", "site"):
            self.fields[name].empty_label = _("Choose one")
        self.offer_people(staff)
        self.fields["planned_check"].choices = [("", _("not settled")), *PlannedCheck.choices]
        self.show_start()
        if results or (self.instance.pk and self.instance.starts_at <= timezone.now()):
            self.fields["assessed"].disabled = True
            self.fields["assessed"].help_text = _(
                "Settled before anything is read off; by now it stays."
            )
        if results:
            for name in ("exercise", "site"):
                self.fields[name].disabled = True
                self.fields[name].help_text = _("Results have been logged, so this stays.")

    @property
    def plan(self) -> Plan | None:
        """What is planned so far; None while exercise, site or hour are missing or wrong."""
        if not self.is_bound:
            return None if self.instance.pk is None else Plan.of(self.instance)
        if not self.has_all("exercise", "site"):
            return None
        return Plan(drill=self.instance, **self.given_people)

    def layout(self):
        return Layout(
            "exercise",
            "site",
            Row(
                Column("day", css_class="col-sm-4"),
                Column("clock", css_class="col-sm-4"),
                Column(AppendedText("minutes", _("min")), css_class="col-sm-4"),
            ),
            *self.people,
            Row(
                Column("planned_check", css_class="col-sm-7"),
                Column(AppendedText("heat_expected", f"°{self._heat_unit}"), css_class="col-sm-5"),
            ),
            "wet_plan",
            "assessed",
            "pinned",
            "reason",
        )

    def clean(self):
        cleaned = super().clean()
        site = cleaned.get("site")
        starts_at = instant_of(self, site and site.zone_info)
        if starts_at is not None:
            self.instance.starts_at = starts_at
            self._refuse_a_second_one(cleaned)
        return cleaned

    def _refuse_a_second_one(self, cleaned: dict) -> None:
        # A button pressed twice in the cold makes one drill, not two.
        same = Drill.objects.filter(
            cohort=self.instance.cohort,
            exercise=cleaned.get("exercise"),
            site=cleaned["site"],
            starts_at=self.instance.starts_at,
        )
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error(None, _("This drill is planned already, at the same hour and site."))
