"""Forms for incidents and near misses."""

from zoneinfo import ZoneInfo

from crispy_forms.layout import Column, Fieldset, Layout, Row
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook
from coursework.forms.moments import clock_field, day_field, instant_of
from coursework.models import Drill, FollowUp, Incident, Person, Site
from coursework.templatetags.coursework import local_time
from coursework.wording import said_of


class _DrillChoices(forms.ModelChoiceField):
    def label_from_instance(self, drill: Drill) -> str:
        return said_of(local_time(drill.starts_at, drill.site.zone), drill.exercise.title)


class IncidentForm(CrispyLook, forms.ModelForm):
    """The place is that of the drill where one is given and no site is."""

    drill = _DrillChoices(
        label=_("At the drill"),
        queryset=Drill.objects.none(),
        required=False,
        empty_label=_("not at a drill"),
    )
    site = forms.ModelChoiceField(
        label=_("Site"),
        queryset=Site.objects.none(),
        required=False,
        empty_label=_("that of the drill, or none"),
    )
    day = day_field()
    clock = clock_field(help_text=_("By the clock at the place, as near as is known."))

    class Meta:
        model = Incident
        fields = ["kind", "drill", "site", "place", "what", "people", "harm", "harm_note", "action"]
        widgets = {
            "kind": forms.RadioSelect,
            "harm": forms.RadioSelect,
            "what": forms.Textarea(attrs={"rows": 4}),
            "people": forms.Textarea(attrs={"rows": 2}),
            "harm_note": forms.Textarea(attrs={"rows": 2}),
            "action": forms.Textarea(attrs={"rows": 3}),
        }
        labels = {"what": _("Account of it")}
        help_texts = {
            "what": _("What was seen and done, in order. No blame, no guesses."),
            "people": _("Names and what each had to do with it. Only what has to be known."),
            "harm_note": _("Who was hurt and how, as far as it has to be known."),
            "place": _("Such as “by the ford, 200 m below the site”."),
        }
        error_messages = {
            "what": {"required": _("Say what happened.")},
            "action": {"required": _("Say what was done at once; “nothing” is an answer.")},
        }

    def __init__(self, *args, drills: QuerySet[Drill], sites: QuerySet[Site], zone: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.zone = zone
        self.fields["drill"].queryset = drills
        self.fields["site"].queryset = sites
        # Neither is likely enough to be chosen beforehand.
        for name in ("kind", "harm"):
            self.fields[name].choices = [c for c in self.fields[name].choices if c[0]]

    def layout(self):
        return Layout(
            "kind",
            Fieldset(
                _("When and where"),
                "drill",
                "site",
                "place",
                Row(Column("day", css_class="col-sm-7"), Column("clock", css_class="col-sm-5")),
            ),
            Fieldset(_("What happened"), "what", "people", "harm", "harm_note", "action"),
        )

    def clean(self):
        cleaned = super().clean()
        drill, site = cleaned.get("drill"), cleaned.get("site")
        if site is None and drill is not None:
            site = cleaned["site"] = drill.site
        if site is None and not cleaned.get("place") and "place" not in self.errors:
            self.add_error("place", _("Say where: choose a site, or describe the place."))
        self.instance.zone = site.zone if site else self.zone
        occurred_at = instant_of(self, ZoneInfo(self.instance.zone))
        if occurred_at is not None:
            self.instance.occurred_at = occurred_at
        return cleaned


class NoteForm(CrispyLook, forms.Form):
    text = forms.CharField(
        label=_("Note"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("What was learnt since, or what was wrong in the report. Nothing is erased."),
    )


class FollowUpForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = FollowUp
        fields = ["task", "person", "due_on"]
        widgets = {"due_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}
        labels = {"person": _("Who does it"), "due_on": _("To be done by")}
        help_texts = {"task": _("Such as “new rope for the ford; show it to all instructors”.")}

    def __init__(self, *args, people: QuerySet[Person], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = people
        self.fields["person"].empty_label = _("choose someone of the staff")


class DoneForm(CrispyLook, forms.Form):
    note = forms.CharField(label=_("What was done"), max_length=300)
