"""The fields of each method: what the student did and when."""

from datetime import date

from crispy_bootstrap5.bootstrap5 import Field
from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import HTML, Column, Div, Row
from django import forms
from django.template.loader import render_to_string
from django.utils.translation import gettext_lazy as _

from assessments.forms.fields import ClockField, NumberField, clock_text, date_field
from assessments.forms.folding import Folded
from assessments.forms.setting import Setting
from assessments.models import Revision
from coursework.models import Method

FEWEST_MARKS, MOST_MARKS = 2, 12


class MethodPart:
    """One recorded time; the base of all methods. Subclasses add what they need."""

    labels = (_("Time of the mark"),)
    needed = 1

    takes_more_marks = False

    def __init__(self, setting: Setting, *, marks: int = 0) -> None:
        self.setting = setting
        self.marks = max(marks, len(self.labels)) if self.takes_more_marks else len(self.labels)

    @property
    def mark_names(self) -> list[str]:
        return [f"mark_{n}" for n in range(1, self.marks + 1)]

    def label(self, position: int) -> str:
        return self.labels[position]

    def fields(self) -> dict[str, forms.Field]:
        """The form's fields by name, in order."""
        fields: dict[str, forms.Field] = {"date": date_field(_("Date"), self.setting.day)}
        for position, name in enumerate(self.mark_names):
            fields[name] = ClockField(
                label=self.label(position),
                required=position < self.needed,
                missing=_("Enter the time."),
            )
        return fields

    def layout(self) -> list:
        return [Row(Column("date"), *[Column(name) for name in self.mark_names])]

    def columns(self, form) -> dict[str, str]:
        """The batch columns of what was entered; errors are put at their fields."""
        times = [form.clock(name, self.day_of(form, name)) for name in self.mark_names]
        return {"times": ";".join(time.isoformat() for time in times if time is not None)}

    def day_of(self, form, name: str) -> date:
        return form.cleaned_data.get("date") or self.setting.day

    def last_day(self, form) -> date:
        """The local date on which a check follows."""
        return self.day_of(form, self.mark_names[-1])

    def initial(self, revision: Revision) -> dict[str, object]:
        """The reverse of `columns`: what the form held for an earlier record."""
        times = revision.recorded_times
        day = times[0].date()
        texts = {f"mark_{n}": clock_text(time, day=day) for n, time in enumerate(times, start=1)}
        return {"date": day, **texts}

    def fault_field(self, form, column: str) -> str:
        """The field beside which a refusal about a batch column is shown, '' for none."""
        if column == "times":
            filled = [name for name in self.mark_names if form.cleaned_data.get(name)]
            return filled[-1] if filled else self.mark_names[0]
        return column if column in form.fields else ""


class ShadowPart(MethodPart):
    """What methods with marks on the ground also need: the stick and how finely it marks."""

    def fields(self):
        return super().fields() | {
            "stick_m": NumberField(
                label=_("Length of the stick"),
                above=0.0,
                highest=10.0,
                initial="1",
                missing=_("Enter the length of the stick."),
            ),
            "mark_u_mm": NumberField(
                label=_("Uncertainty of a mark"),
                lowest=0.0,
                highest=500.0,
                initial="5",
                missing=_("Enter how finely the tip was marked."),
            ),
        }

    def layout(self):
        return [*super().layout(), self.stick()]

    def stick(self):
        return Folded(
            _("Stick and marks"),
            Row(
                Column(AppendedText("stick_m", _("m"))), Column(AppendedText("mark_u_mm", _("mm")))
            ),
            usual={"stick_m": "1", "mark_u_mm": "5"},
        )

    def columns(self, form):
        data = form.cleaned_data
        shadow = {name: data.get(name, "") for name in ("stick_m", "mark_u_mm")}
        return super().columns(form) | shadow

    def initial(self, revision):
        inputs = revision.inputs
        shadow = {"stick_m": inputs["stick_m"] or "1", "mark_u_mm": inputs["mark_u_mm"] or "5"}
        return super().initial(revision) | shadow


class ShadowTip(ShadowPart):
    labels = (_("First mark"), _("Second mark"))
    needed = FEWEST_MARKS
    takes_more_marks = True

    def label(self, position):
        return self.labels[position] if position < 2 else _("Mark %d") % (position + 1)

    def fields(self):
        fields = super().fields()
        count = forms.IntegerField(widget=forms.HiddenInput, initial=self.marks, required=False)
        return fields | {"mark_count": count}

    def layout(self):
        rows = [Column(name) for name in self.mark_names]
        button = render_to_string("assessments/forms/add_mark.html", {"most": MOST_MARKS})
        row = Row(*rows, css_id="marks")
        return [Row(Column("date")), row, Field("mark_count"), HTML(button), self.stick()]

    def initial(self, revision):
        return super().initial(revision) | {"mark_count": len(revision.recorded_times)}


class FirstLast(ShadowPart):
    labels = (_("Earlier shadow"), _("Later shadow"))
    needed = 0

    class Timing:
        RECORDED, DAY, NIGHT = "recorded", "day", "night"
        choices = [
            (RECORDED, _("Both were timed")),
            (DAY, _("Computed from the skyline: rise and set of the date")),
            (NIGHT, _("Computed from the skyline: set of the date and the next rise")),
        ]

    def fields(self):
        fields = super().fields()
        timing = forms.ChoiceField(
            label=_("Times of the two shadows"),
            choices=self.Timing.choices,
            widget=forms.RadioSelect,
            initial=self.Timing.RECORDED,
        )
        later = date_field(_("Date of the later one"), None, required=False)
        later.help_text = _("Blank: the same date.")
        return {"timing": timing, **fields, "date_2": later}

    def layout(self):
        return [
            "timing",
            Div(
                Row(Column("date"), Column("mark_1")),
                Row(Column("date_2"), Column("mark_2")),
                css_id="first-last-times",
            ),
            self.stick(),
        ]

    def day_of(self, form, name):
        later = form.cleaned_data.get("date_2") if name == "mark_2" else None
        return later or super().day_of(form, name)

    def last_day(self, form):
        day = super().last_day(form)
        is_night = form.cleaned_data.get("timing") == self.Timing.NIGHT
        return date.fromordinal(self.day_of(form, "mark_1").toordinal() + 1) if is_night else day

    def columns(self, form):
        data = form.cleaned_data
        if data.get("timing") == self.Timing.RECORDED:
            for name in self.mark_names:
                if name in data and not data[name]:
                    form.add_error(name, _("Enter the time, or choose computed times above."))
            return super().columns(form)
        for name in self.mark_names:
            if data.get(name):
                sentence = _("Leave this blank, or choose “Both were timed” above.")
                form.add_error(name, sentence)
        shadow = {name: data.get(name, "") for name in ("stick_m", "mark_u_mm")}
        day = self.day_of(form, "mark_1").isoformat()
        return {"date": day, "order": data.get("timing", ""), **shadow}

    def initial(self, revision):
        inputs = revision.inputs
        if inputs["times"]:
            later = revision.recorded_times[1]
            initial = super().initial(revision)
            moved = {"date_2": later.date(), "mark_2": clock_text(later)}
            return initial | moved | {"timing": self.Timing.RECORDED}
        shadow = {"stick_m": inputs["stick_m"] or "1", "mark_u_mm": inputs["mark_u_mm"] or "5"}
        return {"timing": inputs["order"], "date": inputs["date"]} | shadow

    def fault_field(self, form, column):
        if column == "order":
            return "timing"
        if column == "times" and form.cleaned_data.get("timing") != self.Timing.RECORDED:
            return "timing"
        return super().fault_field(form, column)


class EqualShadow(ShadowPart):
    labels = (_("Forenoon mark"), _("Afternoon mark"))

    def fields(self):
        fields = super().fields()
        fields["mark_2"].help_text = _("Blank: when the sun is down to the same height again.")
        return fields


class ShortestShadow(ShadowPart):
    labels = (_("Time of the shortest shadow"),)


class Hands(MethodPart):
    labels = (_("Time of the count"),)

    def fields(self):
        measured = self.setting.degrees_per_hand
        return super().fields() | {
            "hands": NumberField(
                label=_("Hands counted"),
                above=0.0,
                highest=12.0,
                missing=_("Enter the number of hands, such as 3 or 2.5."),
            ),
            "degrees_per_hand": NumberField(
                label=_("The student’s hand covers"),
                lowest=2.0,
                highest=30.0,
                required=False,
                initial="" if measured is None else f"{measured:g}",
                help_text=_(
                    "Blank where it was never measured: then 15° is taken, and counting is not "
                    "told apart from laying."
                ),
            ),
            "rule_deg_per_hand": NumberField(
                label=_("The rule turns for a hand"),
                lowest=2.0,
                highest=30.0,
                initial="15",
                missing=_("Enter the degrees, 15 by common practice."),
            ),
            "half": forms.ChoiceField(
                label=_("Half of the day"),
                required=False,
                choices=[
                    ("", _("as the sun stood")),
                    ("forenoon", _("forenoon")),
                    ("afternoon", _("afternoon")),
                ],
            ),
        }

    def layout(self):
        return [
            *super().layout(),
            Row(
                Column(AppendedText("hands", _("hands"))),
                Column(AppendedText("degrees_per_hand", "°")),
            ),
            Folded(
                _("Rule and half of the day"),
                Row(Column(AppendedText("rule_deg_per_hand", "°")), Column("half")),
                usual={"rule_deg_per_hand": "15"},
            ),
        ]

    def columns(self, form):
        names = ("hands", "degrees_per_hand", "rule_deg_per_hand", "half")
        return super().columns(form) | {name: form.cleaned_data.get(name, "") for name in names}

    def initial(self, revision):
        names = ("hands", "degrees_per_hand", "rule_deg_per_hand", "half")
        inputs = {name: revision.inputs[name] for name in names}
        inputs["rule_deg_per_hand"] = inputs["rule_deg_per_hand"] or "15"
        return super().initial(revision) | inputs


class Watch(MethodPart):
    labels = (_("Time"),)

    def fields(self):
        return super().fields() | {
            "summer_time": forms.ChoiceField(
                label=_("The watch showed"),
                required=False,
                choices=[
                    ("", _("the time of the zone")),
                    ("yes", _("summer time")),
                    ("no", _("standard time")),
                ],
                help_text=_("Say it where the watch was not set as the clocks of the place."),
            )
        }

    def layout(self):
        return [*super().layout(), "summer_time"]

    def columns(self, form):
        return super().columns(form) | {"summer_time": form.cleaned_data.get("summer_time", "")}

    def initial(self, revision):
        return super().initial(revision) | {"summer_time": revision.inputs["summer_time"]}


class PoleStar(MethodPart):
    labels = (_("Time of the sighting"),)


class SouthernCross(MethodPart):
    labels = (_("Time of the sighting"),)


PARTS: dict[str, type[MethodPart]] = {
    Method.SHADOW_TIP: ShadowTip,
    Method.FIRST_LAST: FirstLast,
    Method.EQUAL_SHADOW: EqualShadow,
    Method.SHORTEST_SHADOW: ShortestShadow,
    Method.HANDS: Hands,
    Method.WATCH: Watch,
    Method.POLE_STAR: PoleStar,
    Method.SOUTHERN_CROSS: SouthernCross,
}
