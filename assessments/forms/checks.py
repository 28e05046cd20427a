"""The fields of each check: how the laid line's true bearing was found."""

from datetime import date

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import HTML, Column, Row
from django import forms
from django.db import models
from django.utils.translation import gettext_lazy as _

from assessments.forms.fields import (
    ClockField,
    NumberField,
    clock_text,
    signed_text,
    size_and_side,
)
from assessments.forms.folding import Folded
from assessments.forms.setting import Setting
from assessments.models import Revision
from coursework.models import Instrument
from coursework.wording import plain


class Check(models.TextChoices):
    """The values are those of the batch file's `check` column."""

    COMPASS = "compass", _("compass")
    SHADOW = "shadow", _("plumb line’s shadow")
    LANDMARK = "landmark", _("surveyed mark")
    DIRECT = "direct", _("true bearing")


class CheckPart:
    """A reading and how sure it is: the base of all checks."""

    reading_label = _("Reading")
    reading_help = ""
    usual_u = ""
    kind: str | None = None

    def __init__(self, setting: Setting) -> None:
        self.setting = setting

    def fields(self) -> dict[str, forms.Field]:
        """The form's fields by name, in order."""
        fields: dict[str, forms.Field] = {
            "reading_deg": NumberField(
                label=self.reading_label,
                help_text=self.reading_help,
                lowest=0.0,
                highest=360.0,
                missing=_("Enter what was read, in degrees."),
            ),
            "reading_u_deg": NumberField(
                label=_("Standard uncertainty of the reading"),
                lowest=0.0,
                highest=45.0,
                required=False,
                help_text=self.uncertainty_help,
            ),
        }
        if self.kind is not None:
            fields["instrument"] = InstrumentField(
                label=_("Instrument"),
                queryset=self.setting.instruments.filter(kind=self.kind),
                required=False,
                empty_label=_("not one of the school’s"),
                day=self.setting.day,
            )
        return fields

    @property
    def uncertainty_help(self):
        if self.kind is None:
            return _("Blank: %s°.") % plain(self.usual_u)
        return _("Blank: the instrument’s own, or %s° without one.") % plain(self.usual_u)

    def layout(self) -> list:
        return [
            Row(Column(AppendedText("reading_deg", "°")), *self._instrument()),
            Folded(_("How sure the reading is"), AppendedText("reading_u_deg", "°")),
        ]

    def _instrument(self) -> list:
        return [Column("instrument")] if self.kind is not None else []

    def columns(self, form) -> dict[str, str]:
        """The batch columns of what was entered; errors are put at their fields."""
        names = ("reading_deg", "reading_u_deg")
        return {name: form.cleaned_data.get(name, "") for name in names}

    def initial(self, revision: Revision) -> dict[str, object]:
        """The reverse of `columns`: what the form held for an earlier record."""
        return {"reading_deg": revision.inputs["reading_deg"]} | self.carried(revision)

    def carried(self, revision: Revision) -> dict[str, object]:
        """What the next result of the same drill is likely to share with an earlier one."""
        initial = {
            "reading_u_deg": revision.inputs["reading_u_deg"],
            "instrument": revision.instrument_id,
        }
        instrument = revision.instrument
        if instrument is not None and _says(initial["reading_u_deg"], instrument.reading_u_deg):
            initial["reading_u_deg"] = ""
        return initial


class CompassCheck(CheckPart):
    reading_label = _("Compass reading along the line")
    usual_u = "1.5"
    kind = Instrument.Kind.COMPASS

    def fields(self):
        return super().fields() | {
            "correction": NumberField(
                label=_("Correction of the compass"),
                lowest=0.0,
                highest=180.0,
                required=False,
                help_text=_("Blank: the instrument’s own, none without one."),
            ),
            "correction_side": side_field(right=_("to the right"), left=_("to the left")),
            "declination": NumberField(
                label=_("Declination of your own"),
                lowest=0.0,
                highest=180.0,
                required=False,
                help_text=_("Blank: from the World Magnetic Model."),
            ),
            "declination_side": side_field(east=_("east"), west=_("west")),
        }

    def layout(self):
        return [
            Row(Column(AppendedText("reading_deg", "°")), *self._instrument()),
            Folded(
                _("Correction, declination, uncertainty"),
                Row(
                    Column(AppendedText("correction", "°")),
                    Column("correction_side"),
                    css_class="sided",
                ),
                Row(
                    Column(AppendedText("declination", "°")),
                    Column("declination_side"),
                    css_class="sided",
                ),
                AppendedText("reading_u_deg", "°"),
                usual={"correction_side": "right", "declination_side": "east"},
            ),
        ]

    def columns(self, form):
        data = form.cleaned_data
        return super().columns(form) | {
            f"{name}_deg": signed_text(data.get(name, ""), data.get(f"{name}_side", ""))
            for name in ("correction", "declination")
        }

    def carried(self, revision):
        correction = revision.inputs["correction_deg"]
        instrument = revision.instrument
        if instrument is not None and _says(correction, instrument.correction_deg):
            correction = ""
        correction, side = size_and_side(correction, ("right", "left"))
        declination, half = size_and_side(revision.inputs["declination_deg"], ("east", "west"))
        return super().carried(revision) | {
            "correction": correction,
            "correction_side": side,
            "declination": declination,
            "declination_side": half,
        }


class ShadowCheck(CheckPart):
    reading_label = _("Angle from the shadow to the line")
    reading_help = _("Clockwise, seen from above.")
    usual_u = "1"
    kind = Instrument.Kind.PROTRACTOR

    def fields(self):
        clock = ClockField(
            label=_("Time of the check"),
            missing=_("Enter the time of the check: the shadow moves."),
            help_text=_("With its date before it where that is another day."),
        )
        return {"check_time": clock, **super().fields()}

    def layout(self):
        caution = _("Read the angle from the plumb line’s shadow. Never look at the sun.")
        return [
            HTML(f'<p class="caution">{caution}</p>'),
            Row(Column("check_time"), Column(AppendedText("reading_deg", "°"))),
            *self._instrument(),
            Folded(_("How sure the reading is"), AppendedText("reading_u_deg", "°")),
        ]

    def columns(self, form):
        moment = form.clock("check_time", form.part.last_day(form))
        text = "" if moment is None else moment.isoformat()
        return super().columns(form) | {"check_time": text}

    def initial(self, revision):
        times = revision.recorded_times
        day = times[-1].date() if times else revision.local_observed_at.date()
        moment = revision.check_time
        text = "" if moment is None else clock_text(moment, day=day)
        return super().initial(revision) | {"check_time": text}


class LandmarkCheck(CheckPart):
    reading_label = _("Angle from the mark to the line")
    reading_help = _("Clockwise, seen from above.")
    usual_u = "1"
    kind = Instrument.Kind.PROTRACTOR

    def fields(self):
        mark = MarkField(
            label=_("Surveyed mark"),
            queryset=self.setting.marks,
            empty_label=_("choose the mark"),
        )
        mark.error_messages["required"] = _("Choose the mark the angle was taken from.")
        if not self.setting.marks.exists():
            mark.help_text = _("This site has no surveyed marks yet; its page is the place.")
        return {"landmark": mark, **super().fields()}

    def layout(self):
        return [
            Row(Column("landmark"), Column(AppendedText("reading_deg", "°"))),
            *self._instrument(),
            Folded(_("How sure the reading is"), AppendedText("reading_u_deg", "°")),
        ]

    def carried(self, revision):
        marks = self.setting.marks.filter(name=revision.facts["mark"])
        return super().carried(revision) | {"landmark": marks.values_list("pk", flat=True).first()}


class DirectCheck(CheckPart):
    reading_label = _("True bearing of the line")
    usual_u = "0"


PARTS: dict[str, type[CheckPart]] = {
    Check.COMPASS: CompassCheck,
    Check.SHADOW: ShadowCheck,
    Check.LANDMARK: LandmarkCheck,
    Check.DIRECT: DirectCheck,
}


class InstrumentField(forms.ModelChoiceField):
    """Says with each what it adds, and whether its own check is overdue on `day`."""

    def __init__(self, *args, day: date, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self.day = day

    def label_from_instance(self, instrument: Instrument) -> str:
        said = []
        if instrument.kind == Instrument.Kind.COMPASS:
            turned = f"{plain(abs(instrument.correction_deg), 3)}°"
            if turned != "0°":
                turned = f"{'−' if instrument.correction_deg < 0.0 else '+'}{turned}"
            said.append(_("correction %(turned)s") % {"turned": turned})
        if instrument.is_overdue(self.day):
            said.append(_("CHECK OVERDUE") if instrument.due_on else _("NEVER CHECKED"))
        more = f" ({', '.join(str(part) for part in said)})" if said else ""
        return f"{instrument}{more}"


class MarkField(forms.ModelChoiceField):
    def label_from_instance(self, mark) -> str:
        return f"{mark.name}, {mark.bearing_deg:05.1f}°"


def side_field(**words) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=_("Side"), choices=list(words.items()), required=False, initial=next(iter(words))
    )


def _says(text: str, number: float) -> bool:
    return bool(text) and abs(float(text) - number) < 1e-6
