"""The form of a drill as a device carries it: ready-made, one for each check, without a student."""

from collections.abc import Sequence
from typing import Any

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Column, Div, Fieldset, Layout, Row
from crispy_forms.utils import render_crispy_form
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from assessments.field.standard import digest
from assessments.forms import log_form
from assessments.forms.attempt import AttemptForm
from assessments.forms.checks import Check
from assessments.forms.folding import Folded
from assessments.forms.setting import Setting
from assessments.models import NoResult
from coursework.models import Drill, Instrument, Person, ReferenceMark
from coursework.models.methods import is_travel

LAYOUT = 2
"""Raised whenever the forms below come out differently, so that devices fetch them again."""

CARRIED = (
    "check",
    "instrument",
    "landmark",
    "reading_u_deg",
    "correction",
    "correction_side",
    "declination",
    "declination_side",
    "stick_m",
    "mark_u_mm",
    "rule_deg_per_hand",
    "sky",
    "ground",
    "measured_m",
    "measured_u",
    "measured_u_unit",
    "start",
    "goal",
    "true",
    "point_u_m",
)
"""What one result of a drill shares with the next; all else is the student's own."""


def form_tag(
    drill: Drill, instruments: Sequence[Instrument], marks: Sequence[ReferenceMark]
) -> str:
    """A short mark of all that the form of a drill shows; see `forms_of`."""
    day = drill.starts_at.astimezone(drill.site.zone_info).date()
    facts = [
        LAYOUT,
        drill.exercise.method,
        drill.exercise.steps,
        drill.site.zone,
        drill.planned_check,
        day.isoformat(),
        [[each.pk, str(each), each.correction_deg, str(each.due_on)] for each in instruments],
        [[mark.pk, mark.name, mark.bearing_deg] for mark in marks],
    ]
    return digest(facts)[:16]


def forms_of(drill: Drill) -> dict[str, Any]:
    """The HTML of the drill's form by check ('' where nothing is checked), and what goes with it.

    That is what one result carries over to the next, and the reasons why there may be none.
    """
    setting = Setting.of_drill(drill, Person())
    checks = [""] if is_travel(setting.method) else list(Check.values)
    planned = drill.planned_check if drill.planned_check in checks else checks[0]
    return {
        "checks": {check: form_html(setting, check) for check in checks},
        "check": planned,
        "carried": list(CARRIED),
        "reasons": [[value, capfirst(label)] for value, label in NoResult.choices],
        "day": setting.day.isoformat(),
    }


def form_html(setting: Setting, check: str) -> str:
    """The fields of a result, nothing around them."""
    form = log_form(setting.method)(initial={"check": check} if check else None, setting=setting)
    # The device makes the key of each result.
    del form.fields["key"]
    if isinstance(form, AttemptForm):
        form.helper.layout = _line_layout(form)
    else:
        form.helper.layout.pop()
    for name, field in form.fields.items():
        # Clock times without colons: the numeric keypad has none, and none is needed.
        if "data-clock" in field.widget.attrs:
            field.widget.attrs |= {"inputmode": "numeric", "placeholder": _("HHMM")}
            if name == "check_time":
                field.help_text = ""
    form.helper.include_media = False
    return render_crispy_form(form)


def _line_layout(form: AttemptForm) -> Layout:
    """In the order of work: marks, what is declared, the check; the rest folded away."""
    steps = ["steps_met"] if "steps_met" in form.fields else []
    correction = Row(
        Column(AppendedText("student_correction", "°")),
        Column("student_correction_side"),
        css_class="sided",
    )
    return Layout(
        Fieldset(_("Observed"), *form.part.layout()),
        Folded(
            _("Correction declared before the check"),
            correction,
            usual={"student_correction_side": "right"},
        ),
        Fieldset(
            _("Check"),
            Div("check", css_class="check-choice"),
            Div(*form.check_part.layout(), css_class="check-fields"),
        ),
        Folded(_("Steps, sky, ground, remark"), *steps, "sky", "ground", "remark"),
    )
