"""Forms for go-or-stay decisions and for what a school decides for itself."""

from zoneinfo import available_timezones

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import HTML, Column, Fieldset, Layout, Row
from django import forms
from django.utils.functional import cached_property
from django.utils.html import escape
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from coursework import cautions
from coursework.forms.look import CrispyLook
from coursework.models import Aspect, HeatLimits, Outcome, SchoolSettings

FINE, CONCERN = "fine", "concern"
WHAT_TO_LOOK_AT = {
    Aspect.WEATHER: gettext_lazy("Forecast, wind, rain, visibility, daylight left."),
    Aspect.HEAT: gettext_lazy("Shade, water and breaks, or warmth and shelter."),
    Aspect.LIGHTNING: gettext_lazy("Storms forecast or heard; the nearest safe shelter."),
    Aspect.TERRAIN: gettext_lazy("Going, water levels, snow, fire danger, animals."),
    Aspect.GROUP: gettext_lazy("Numbers, fitness, clothing and kit, who needs watching."),
    Aspect.STAFF: gettext_lazy("Enough of them, first aid, radio or telephone, who leads."),
}


class DecisionForm(CrispyLook, forms.Form):
    """Each thing to look at, in order or a concern, with a note; then go or stay."""

    heat_value = forms.FloatField(
        label=gettext_lazy("Measured"),
        required=False,
        min_value=-60.0,
        max_value=150.0,
        help_text=gettext_lazy("Leave it blank where nothing was measured."),
    )
    outcome = forms.ChoiceField(
        label=gettext_lazy("Decision"),
        choices=[
            (Outcome.GO, gettext_lazy("Go: the drill goes out")),
            (Outcome.STAY, gettext_lazy("Stay: the drill does not go out")),
        ],
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose one of the two.")},
    )
    reason = forms.CharField(
        label=gettext_lazy("Why, in a sentence"),
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("Students read this sentence and the decision, not the rest."),
    )
    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args, limits: HeatLimits, **kwargs):
        self.limits = limits
        super().__init__(*args, **kwargs)
        self.fields["heat_value"].label = (
            _("WBGT measured") if limits.measure == "wbgt" else _("Air temperature in the shade")
        )
        self.helper.layout = self._laid_out()

    def _laid_out(self) -> Layout:
        parts = []
        for aspect in Aspect:
            name, note = aspect.value, f"{aspect.value}_note"
            self.fields[name] = forms.ChoiceField(
                label=_("State"),
                choices=[(FINE, _("in order")), (CONCERN, _("a concern"))],
                widget=forms.RadioSelect,
                required=False,
            )
            self.fields[note] = forms.CharField(
                label=_("Note"), max_length=300, required=False, help_text=WHAT_TO_LOOK_AT[aspect]
            )
            parts.append(Fieldset(_initial_capital(aspect.label), *self._of(aspect, name, note)))
        return Layout(*parts, Fieldset(_("Go or stay"), "outcome", "reason"), "seen")

    def _of(self, aspect: Aspect, name: str, note: str) -> list:
        row = Row(
            Column(name, css_class="col-sm-4"),
            Column(note, css_class="col-sm-8"),
            css_class="looked-at",
        )
        if aspect == Aspect.HEAT:
            said = " ".join(self.limits.sentences())
            limits = HTML(f'<p class="row-note">{escape(said)}</p>')
            return [limits, AppendedText("heat_value", f"°{self.limits.unit}"), row]
        if aspect == Aspect.LIGHTNING:
            rule = HTML(f'<p class="row-note">{escape(cautions.lightning_rule())}</p>')
            return [rule, row]
        return [row]

    @property
    def aspects(self) -> dict[str, dict]:
        """What was said of each aspect that was looked at."""
        data = self.cleaned_data
        return {
            aspect.value: {
                "concern": data[aspect.value] == CONCERN,
                "note": data.get(f"{aspect.value}_note", ""),
            }
            for aspect in Aspect
            if data.get(aspect.value)
        }


class SettingsForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = SchoolSettings
        fields = [
            "emergency_number",
            "nearest_help",
            "heat_measure",
            "heat_unit",
            "heat_care",
            "heat_stop",
            "check_interval_days",
            "students_per_instructor",
            "travel_kmh",
            "zone",
        ]
        widgets = {
            "nearest_help": forms.Textarea(attrs={"rows": 3}),
            "zone": forms.TextInput(attrs={"list": "zones", "autocomplete": "off"}),
        }
        help_texts = {
            "emergency_number": gettext_lazy("As it is dialled where the school goes out."),
            "nearest_help": gettext_lazy(
                "Hospital, rescue, warden: names and numbers for the emergency card of a drill."
            ),
            "heat_care": gettext_lazy(
                "In the unit above; blank where the school has no such limit."
            ),
            "heat_stop": gettext_lazy("Nobody can record “go” at or above it."),
            "check_interval_days": gettext_lazy("For new instruments; each may have its own."),
            "travel_kmh": gettext_lazy(
                "Along the straight line, so slower than you go: about 4 on foot, 20 to 30 on "
                "small roads. Drills at two sites keep time for the way."
            ),
            "zone": gettext_lazy("For what happens away from any site of the school."),
        }

    def layout(self):
        return Layout(
            Fieldset(_("Help"), "emergency_number", "nearest_help"),
            Fieldset(
                _("Heat"),
                HTML(
                    '<p class="row-note">{}</p>'.format(
                        _(
                            "Published limits differ by body, country and how used to heat people "
                            "are, so none is given here: enter those your school works by."
                        )
                    )
                ),
                "heat_measure",
                "heat_unit",
                Row(Column("heat_care"), Column("heat_stop")),
            ),
            Fieldset(_("Instruments"), AppendedText("check_interval_days", _("days"))),
            Fieldset(_("Groups"), "students_per_instructor", AppendedText("travel_kmh", _("km/h"))),
            Fieldset(_("Clock"), "zone"),
        )

    @cached_property
    def zones(self) -> list[str]:
        return sorted(name for name in available_timezones() if "/" in name or name == "UTC")

    def clean(self):
        cleaned = super().clean()
        care, stop = cleaned.get("heat_care"), cleaned.get("heat_stop")
        if care is not None and stop is not None and care >= stop:
            self.add_error("heat_stop", _("This limit has to be above the one for care."))
        return cleaned


def _initial_capital(text) -> str:
    text = str(text)
    return text[:1].upper() + text[1:]
