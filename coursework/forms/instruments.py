"""Forms for instruments and for their checks against surveyed marks."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Fieldset, Layout, Row
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.forms.moments import clock_field, day_field, instant_of
from coursework.models import Instrument, ReferenceMark
from coursework.templatetags.coursework import bearing
from coursework.wording import said_of
from solar.calibration import FEWEST_READINGS

MOST_READINGS = 50


def _to_hundredths(value):
    return round(value, 2) if isinstance(value, float) else value


class InstrumentForm(CrispyLook, forms.ModelForm):
    """Correction and uncertainty are typed only until the first check gives them."""

    class Meta:
        model = Instrument
        fields = ["kind", "label", "correction_deg", "reading_u_deg", "check_interval_days"]
        help_texts = {
            "label": _("As it is written on it, such as “7” or “blue 2”."),
            "correction_deg": _("Added to what it reads; to the right is positive."),
            "reading_u_deg": _(
                "One standard deviation. Common practice: 1.5° for a hand compass, 1.0° for a "
                "protractor."
            ),
            "check_interval_days": _("After so many days a check is overdue."),
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.last_check is not None:
            for name in ("kind", "correction_deg", "reading_u_deg"):
                self.fields[name].disabled = True
                self.fields[name].help_text = _("From the last check.")
                # Shown as the instrument's page says them; what is saved stays unrounded.
                self.fields[name].prepare_value = _to_hundredths
            self.fields["kind"].help_text = _("It has been checked, so this stays.")

    def layout(self):
        return Layout(
            "kind",
            "label",
            AppendedText("correction_deg", "°"),
            AppendedText("reading_u_deg", "°"),
            AppendedText("check_interval_days", _("days")),
        )

    def clean(self):
        among = Instrument.objects.filter(school=self.instance.school_id)
        if taken(self, "label", among):
            self.add_error("label", _("The school already has an instrument marked like this."))
        return super().clean()

    def save(self, commit: bool = True) -> Instrument:
        instrument = super().save(commit=False)
        # Another interval moves the day the next check is due.
        instrument.follow_checks()
        return instrument


class _MarkChoices(forms.ModelChoiceField):
    def label_from_instance(self, mark: ReferenceMark) -> str:
        return f"{said_of(mark.site.name, mark.name)}, {bearing(mark.bearing_deg)}"


class ReadingsField(forms.CharField):
    """Several bearings in degrees, apart by spaces, semicolons or line ends."""

    default_error_messages = {"required": _("Enter the readings.")}

    def to_python(self, value):
        text = super().to_python(value)
        if not text:
            return []
        found = []
        for word in text.replace(";", " ").replace("°", " ").split():
            try:
                # "12,5" is how half of Europe writes it.
                number = float(word.replace(",", "."))
            except ValueError:
                number = None
            if number is None or not 0.0 <= number <= 360.0:
                raise ValidationError(
                    _("“%(word)s” is not a reading between 0 and 360 degrees."),
                    params={"word": word},
                )
            found.append(number)
        if not FEWEST_READINGS <= len(found) <= MOST_READINGS:
            raise ValidationError(
                ngettext(
                    "There is %(count)s reading; it takes from %(fewest)s to %(most)s.",
                    "There are %(count)s readings; it takes from %(fewest)s to %(most)s.",
                    len(found),
                )
                % {"count": len(found), "fewest": FEWEST_READINGS, "most": MOST_READINGS}
            )
        return found


class InstrumentCheckForm(CrispyLook, forms.Form):
    """What an instrument read towards a surveyed mark, several times over."""

    from_mark = _MarkChoices(label=_("Angle taken from"), queryset=ReferenceMark.objects.none())
    mark = _MarkChoices(label=_("Surveyed mark"), queryset=ReferenceMark.objects.none())
    day = day_field()
    clock = clock_field(help_text=_("By the clock at the site."))
    readings = ReadingsField(
        label=_("Readings"),
        widget=forms.Textarea(attrs={"rows": 2, "inputmode": "decimal"}),
    )
    resolution_deg = forms.FloatField(
        label=_("Read to the nearest"), min_value=0.01, max_value=10.0, initial=1
    )
    remark = forms.CharField(label=_("Remark"), max_length=300, required=False)

    def __init__(self, *args, instrument: Instrument, marks: QuerySet[ReferenceMark], **kwargs):
        self.is_compass = instrument.kind == Instrument.Kind.COMPASS
        super().__init__(*args, **kwargs)
        marks = marks.select_related("site").order_by("site__name", "bearing_deg", "id")
        for name in ("mark", "from_mark"):
            self.fields[name].queryset = marks
            self.fields[name].empty_label = _("Choose the mark")
        if self.is_compass:
            del self.fields["from_mark"]
            said = _(
                "Degrees as the compass shows them, nothing added, with spaces between. Take it "
                "down and sight anew for each, held as in the field. At least 3, better 10."
            )
        else:
            self.fields["mark"].label = _("To the mark")
            said = _(
                "Degrees clockwise from the first mark to the second, with spaces between. Set it "
                "up anew for each. At least 3, better 10."
            )
        self.fields["readings"].help_text = said

    def layout(self):
        marks = ["mark"] if self.is_compass else ["from_mark", "mark"]
        return Layout(
            *marks,
            Row(Column("day", css_class="col-sm-7"), Column("clock", css_class="col-sm-5")),
            Fieldset(_("What it read"), "readings", AppendedText("resolution_deg", "°")),
            "remark",
        )

    def clean(self):
        cleaned = super().clean()
        mark = cleaned.get("mark")
        cleaned["checked_at"] = instant_of(self, mark and mark.site.zone_info)
        return cleaned
