"""The form in which a result is entered, and the one in which it is corrected."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import HTML, Column, Div, Fieldset, Layout, Row
from django import forms
from django.template.loader import render_to_string
from django.utils.translation import gettext_lazy as _

from assessments.forms import checks, methods
from assessments.forms.checks import Check
from assessments.forms.fields import NumberField, signed_text, size_and_side
from assessments.forms.result import KeyedForm, ReasonedForm, ResultForm, conditions_of
from assessments.forms.setting import Setting
from assessments.models import Revision
from assessments.observations import Observation
from assessments.services import Refused


class AttemptForm(ResultForm):
    """Only the fields that the method and the chosen check need.

    `setting` says what the drill offers; `initial["check"]` or the posted `check` decides
    which check's fields are there. After validation `observation` holds the result.
    """

    def __init__(self, *args, setting: Setting, **kwargs):
        super().__init__(*args, setting=setting, **kwargs)
        self.part = methods.PARTS[setting.method](setting, marks=self._mark_count())
        self.check_part = checks.PARTS[self._check()](setting)
        self.fields |= self.part.fields()
        self.fields |= {
            "student_correction": NumberField(
                label=_("Correction"),
                lowest=0.0,
                highest=180.0,
                required=False,
                help_text=_(
                    "Asked of the student and entered before the check is read. Blank: none "
                    "declared; 0 says that none is needed."
                ),
            ),
            "student_correction_side": checks.side_field(
                right=_("to the right"), left=_("to the left")
            ),
            "check": forms.ChoiceField(
                label=_("Checked with"),
                choices=Check.choices,
                widget=forms.RadioSelect,
                initial=Check.COMPASS,
            ),
        }
        self.fields |= self.check_part.fields()
        self.fields |= self.condition_fields()
        self.helper.layout = self._layout()

    @classmethod
    def typed(cls, posted):
        typed = super().typed(posted)
        if "add_mark" in posted:
            typed["mark_count"] = _count(posted.get("mark_count")) + 1
        return typed

    def _check(self) -> str:
        value = self.data.get("check") if self.is_bound else self.initial.get("check")
        return value if value in checks.PARTS else Check.COMPASS

    def _mark_count(self) -> int:
        source = self.data if self.is_bound else self.initial
        return _count(source.get("mark_count"))

    def _layout(self) -> Layout:
        show = render_to_string("assessments/forms/show_check.html")
        return Layout(
            Fieldset(_("Observed"), *self.part.layout()),
            Fieldset(
                _("Declared before the check"),
                Row(
                    Column(AppendedText("student_correction", "°")),
                    Column("student_correction_side"),
                    css_class="sided",
                ),
            ),
            Fieldset(
                _("Check"),
                # The fields below are asked for again when another check is chosen.
                Div(
                    "check",
                    css_class="check-choice",
                    hx_post="",
                    hx_trigger="change",
                    hx_target="#check-fields",
                    hx_select="#check-fields",
                    hx_swap="outerHTML",
                    hx_vals='{"show": "1"}',
                ),
                HTML(show),
                Div(*self.check_part.layout(), css_id="check-fields"),
            ),
            *self.condition_layout(),
        )

    def clean(self):
        data = super().clean()
        columns = self.part.columns(self) | self.check_part.columns(self)
        columns["check"] = data.get("check", "")
        columns["student_correction_deg"] = signed_text(
            data.get("student_correction", ""), data.get("student_correction_side", "")
        )
        if not self.errors:
            self.observation = Observation(
                columns=columns,
                instrument=data.get("instrument"),
                mark=data.get("landmark"),
                **self.conditions(),
            )
        return data

    def refuse(self, refused: Refused) -> None:
        """Shows why a result cannot be stored, beside the field it is about."""
        column = refused.field
        own_names = {
            "student_correction_deg": "student_correction",
            "correction_deg": "correction",
            "declination_deg": "declination",
            "landmark_deg": "landmark",
        }
        name = own_names.get(column, column)
        if name not in self.fields:
            name = self.part.fault_field(self, column)
        self.add_error(name or None, refused.sentence)


class LogForm(KeyedForm, AttemptForm):
    """A new result of a line that was laid."""

    @staticmethod
    def carried(setting: Setting, last: Revision | None) -> dict[str, object]:
        """What the form starts with: check, stick and sky of the drill's last result."""
        if last is None:
            return {}
        check = last.inputs["check"]
        shadow = {name: last.inputs[name] for name in ("stick_m", "mark_u_mm")}
        return {
            "check": check,
            "sky": last.sky,
            "ground": last.ground,
            **{name: text for name, text in shadow.items() if text},
            **checks.PARTS[check](setting).carried(last),
        }


class CorrectionForm(ReasonedForm, AttemptForm):
    """What should have been recorded of a line, and why it was not."""

    @staticmethod
    def initial_of(setting: Setting, revision: Revision) -> dict[str, object]:
        """The form as it was filled in for an earlier record."""
        if not revision.has_result:
            return {"date": setting.day, **conditions_of(revision)}
        inputs = revision.inputs
        size, side = size_and_side(inputs["student_correction_deg"], ("right", "left"))
        return {
            **methods.PARTS[setting.method](setting).initial(revision),
            **checks.PARTS[inputs["check"]](setting).initial(revision),
            "check": inputs["check"],
            "student_correction": size,
            "student_correction_side": side,
            **conditions_of(revision),
        }


def _count(typed) -> int:
    text = str(typed or "")
    count = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
    return min(max(count, methods.FEWEST_MARKS), methods.MOST_MARKS)
