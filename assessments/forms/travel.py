"""The form of a result in which no line is laid: distance, leg, position, checklist."""

from datetime import date

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Fieldset, Layout, Row
from django import forms
from django.utils.translation import gettext_lazy as _

from assessments.forms.fields import ClockField, NumberField, clock_text, date_field
from assessments.forms.folding import Folded
from assessments.forms.result import KeyedForm, ReasonedForm, ResultForm, conditions_of
from assessments.forms.setting import Setting
from assessments.models import Revision
from assessments.observations import Observation, number_text
from assessments.refusals import Refused
from coursework.forms.position import PositionField
from coursework.models import Method
from solar.travel import MEASURED_U_PERCENT, POINT_U_M


class TravelPart:
    """What one method asks for: `task` is the same for a whole drill, `result` the student's."""

    task_title = _("Measured")
    result_title = _("Told by the student")

    def fields(self) -> dict[str, forms.Field]:
        """The form's fields by name, in order."""
        return {}

    def task(self) -> list:
        return []

    def result(self) -> list:
        return []

    def columns(self, data: dict) -> dict[str, str]:
        """The columns of what was entered."""
        return {}

    def carried(self, inputs: dict[str, str]) -> dict[str, object]:
        """What the next result of the drill shares with an earlier one."""
        return {}

    def initial(self, inputs: dict[str, str]) -> dict[str, object]:
        """The reverse of `columns`: what the form held for an earlier record."""
        return self.carried(inputs)

    def fault_field(self, column: str) -> str:
        """The field beside which a refusal about a column is shown."""
        if column.endswith(("_lat", "_lon")):
            return column[:-4]
        return "measured_u" if column.startswith("measured_u_") else column


class DistancePart(TravelPart):
    """A distance told, against one that was measured on the ground."""

    own: tuple[str, ...] = ("told_m",)

    def own_fields(self) -> dict[str, forms.Field]:
        missing = _("Enter the distance the student told.")
        return {"told_m": _metres_field(_("Distance told"), missing)}

    def fields(self):
        usual = _("Standard uncertainty. Blank: %s %%.") % f"{MEASURED_U_PERCENT:g}"
        return {
            "measured_m": _metres_field(
                _("Measured distance"), _("Enter the distance that was measured.")
            ),
            "measured_u": NumberField(
                label=_("How well it is known"),
                lowest=0.0,
                highest=10_000.0,
                required=False,
                help_text=usual,
            ),
            "measured_u_unit": forms.ChoiceField(
                label=_("In"),
                choices=[("percent", _("percent")), ("m", _("metres"))],
                required=False,
                initial="percent",
            ),
            **self.own_fields(),
        }

    def task(self):
        return [
            AppendedText("measured_m", _("m")),
            Folded(
                _("How well the distance is known"),
                Row(Column("measured_u"), Column("measured_u_unit"), css_class="sided"),
                usual={"measured_u_unit": "percent"},
            ),
        ]

    def result(self):
        return [AppendedText("told_m", _("m"))]

    def columns(self, data):
        own = {name: data.get(name, "") for name in ("measured_m", *self.own)}
        unit = data.get("measured_u_unit") or "percent"
        return own | {f"measured_u_{unit}": data.get("measured_u", "")}

    def carried(self, inputs):
        unit = "m" if inputs["measured_u_m"] else "percent"
        return {
            "measured_m": inputs["measured_m"],
            "measured_u": inputs[f"measured_u_{unit}"],
            "measured_u_unit": unit,
        }

    def initial(self, inputs):
        return self.carried(inputs) | {name: inputs[name] for name in self.own}


class PaceCountPart(DistancePart):
    own = ("paces", "paces_per_100_m")
    result_title = _("Counted by the student")

    def own_fields(self):
        return {
            "paces": NumberField(
                label=_("Paces counted"),
                above=0.0,
                highest=100_000.0,
                missing=_("Enter the paces that were counted."),
            ),
            "paces_per_100_m": NumberField(
                label=_("Paces for 100 m"),
                above=0.0,
                highest=400.0,
                required=False,
                help_text=_(
                    "Blank: as it was counted for the student before. Count alike both times."
                ),
            ),
        }

    def result(self):
        return [Row(Column("paces"), Column("paces_per_100_m"))]


class PositionsPart(TravelPart):
    """Points of the task and points of the student, with how well each is known."""

    points: dict[str, object] = {}
    own_points: dict[str, object] = {}
    uncertainties: dict[str, object] = {}

    def fields(self):
        missing = _("Enter the position.")
        fields: dict[str, forms.Field] = {
            name: PositionField(label=label, missing=missing, highest_latitude_deg=89.0)
            for name, label in (self.points | self.own_points).items()
        }
        # Said once; the ways of writing are the same for all.
        for name in list(fields)[1:]:
            fields[name].help_text = ""
        for name, label in self.uncertainties.items():
            fields[name] = NumberField(
                label=label,
                lowest=0.0,
                highest=1_000.0,
                required=False,
                help_text=_("Standard uncertainty, north and east each. Blank: %s m.")
                % f"{POINT_U_M:g}",
            )
        return fields

    def task(self):
        return [*self.points, self._known("point_u_m")]

    def result(self):
        return [*self.own_points]

    def _known(self, name: str) -> Folded:
        return Folded(self.uncertainties[name], AppendedText(name, _("m")))

    def columns(self, data):
        columns = {name: data.get(name, "") for name in self.uncertainties}
        for name in self.points | self.own_points:
            position = data.get(name)
            if position is not None:
                columns[f"{name}_lat"] = number_text(position.latitude_deg)
                columns[f"{name}_lon"] = number_text(position.longitude_deg)
        return columns

    def carried(self, inputs):
        return self._positions(inputs, self.points) | {
            name: inputs[name] for name in self.uncertainties
        }

    def initial(self, inputs):
        return self.carried(inputs) | self._positions(inputs, self.own_points)

    def _positions(self, inputs, names) -> dict[str, object]:
        return {
            name: (float(inputs[f"{name}_lat"]), float(inputs[f"{name}_lon"])) for name in names
        }


class LegPart(PositionsPart):
    task_title = _("The leg")
    result_title = _("Where the student arrived")
    points = {"start": _("Starting point"), "goal": _("Goal")}
    own_points = {"arrival": _("Arrival")}
    uncertainties = {
        "point_u_m": _("How well start and goal are known"),
        "arrival_u_m": _("How well the arrival is known"),
    }

    def result(self):
        return [*super().result(), self._known("arrival_u_m")]


class PositionPart(PositionsPart):
    task_title = _("The true point")
    result_title = _("Plotted by the student")
    points = {"true": _("True point")}
    own_points = {"plotted": _("Plotted point")}
    uncertainties = {"point_u_m": _("How well the true point is known")}


class ChecklistPart(TravelPart):
    result_title = _("Steps")

    def result(self):
        return ["steps_met"]


PARTS: dict[str, TravelPart] = {
    Method.PACE_COUNT: PaceCountPart(),
    Method.DISTANCE: DistancePart(),
    Method.LEG: LegPart(),
    Method.POSITION: PositionPart(),
    Method.CHECKLIST: ChecklistPart(),
}


class TravelForm(ResultForm):
    """When it was done, what the method asks for, and the conditions."""

    def __init__(self, *args, setting: Setting, **kwargs):
        super().__init__(*args, setting=setting, **kwargs)
        self.part = PARTS[setting.method]
        self.fields |= {
            "date": date_field(_("Date"), setting.day),
            "done_at": ClockField(label=_("Time it was done"), missing=_("Enter the time.")),
            **self.part.fields(),
            **self.condition_fields(),
        }
        task = self.part.task()
        by_steps = setting.method == Method.CHECKLIST
        if by_steps and "steps_met" in self.fields:
            self.fields["steps_met"].label = _("Met, each as it should be")
        self.helper.layout = Layout(
            Fieldset(_("When"), Row(Column("date"), Column("done_at"))),
            *([Fieldset(self.part.task_title, *task)] if task else []),
            Fieldset(self.part.result_title, *self.part.result()),
            *self.condition_layout(steps=not by_steps),
        )

    def clean(self):
        data = super().clean()
        day: date = data.get("date") or self.setting.day
        moment = self.clock("done_at", day)
        columns = {"times": "" if moment is None else moment.isoformat()}
        columns |= self.part.columns(data)
        if not self.errors:
            self.observation = Observation(columns=columns, **self.conditions())
        return data

    def refuse(self, refused: Refused) -> None:
        """Shows why a result cannot be stored, beside the field it is about."""
        name = "done_at" if refused.field == "times" else self.part.fault_field(refused.field)
        self.add_error(name if name in self.fields else None, refused.sentence)


class TravelLogForm(KeyedForm, TravelForm):
    """A new result in which no line was laid."""

    @staticmethod
    def carried(setting: Setting, last: Revision | None) -> dict[str, object]:
        """What the form starts with: the task and the sky of the drill's last result."""
        own = {}
        if setting.method == Method.PACE_COUNT and setting.paces_per_100_m is not None:
            own["paces_per_100_m"] = number_text(round(setting.paces_per_100_m, 1))
        if last is None:
            return own
        task = PARTS[setting.method].carried(last.inputs)
        return {"sky": last.sky, "ground": last.ground, **task, **own}


class TravelCorrectionForm(ReasonedForm, TravelForm):
    """What should have been recorded where no line was laid, and why it was not."""

    @staticmethod
    def initial_of(setting: Setting, revision: Revision) -> dict[str, object]:
        """The form as it was filled in for an earlier record."""
        if not revision.has_result:
            return {"date": setting.day, **conditions_of(revision)}
        moment = revision.local_observed_at
        return {
            "date": moment.date(),
            "done_at": clock_text(moment),
            **PARTS[setting.method].initial(revision.inputs),
            **conditions_of(revision),
        }


def _metres_field(label, missing) -> NumberField:
    return NumberField(label=label, above=0.0, highest=100_000.0, missing=missing)
