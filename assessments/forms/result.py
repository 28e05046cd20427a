"""What the forms of all results share: conditions, steps, the key and the reason."""

import uuid
from datetime import date, datetime
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Column, Fieldset, Row
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from assessments.forms.fields import TickedChoices, read_clock
from assessments.forms.setting import Setting
from assessments.models import Revision
from assessments.observations import Observation


class ResultForm(forms.Form):
    """`setting` says what the drill offers. After validation `observation` holds the result."""

    asks_reason = False

    def __init__(self, *args, setting: Setting, **kwargs):
        super().__init__(*args, **kwargs)
        self.setting = setting
        self.observation: Observation | None = None
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.helper.disable_csrf = True

    @classmethod
    def redrawn(cls, posted, **kwargs):
        """A form with what was typed and perhaps other fields, before anything is judged."""
        return cls(initial=cls.typed(posted), **kwargs)

    @classmethod
    def typed(cls, posted) -> dict[str, Any]:
        return posted.dict() | {"steps_met": posted.getlist("steps_met")}

    def condition_fields(self) -> dict[str, forms.Field]:
        fields = {
            "sky": forms.CharField(label=_("Sky"), max_length=120, required=False),
            "ground": forms.CharField(label=_("Ground"), max_length=120, required=False),
            "remark": forms.CharField(
                label=_("Remark"),
                max_length=2000,
                required=False,
                widget=forms.Textarea(attrs={"rows": 2}),
            ),
        }
        if self.setting.steps:
            fields["steps_met"] = TickedChoices(
                label=_("Performance steps met"),
                choices=[(step, step) for step in self.setting.steps],
                required=False,
            )
        if self.asks_reason:
            fields["reason"] = forms.CharField(label=_("Reason for the correction"), max_length=300)
            fields["reason"].error_messages["required"] = _("Say why the record is corrected.")
        return fields

    def condition_layout(self, *, steps: bool = True) -> list:
        """The last fieldsets; without `steps` where those stand elsewhere."""
        ticks = ["steps_met"] if self.setting.steps and steps else []
        reason = [Fieldset(_("Why"), "reason")] if self.asks_reason else []
        conditions = Fieldset(
            _("Conditions"), Row(Column("sky"), Column("ground")), *ticks, "remark"
        )
        return [conditions, *reason]

    def conditions(self) -> dict[str, Any]:
        """Those parts of an observation that all results have; after validation."""
        data = self.cleaned_data
        return {
            "steps_met": tuple(data.get("steps_met", ())),
            "sky": data["sky"],
            "ground": data["ground"],
            "remark": data["remark"],
        }

    def clock(self, name: str, day: date) -> datetime | None:
        """The aware time in the field `name`; None where blank or, with an error there, wrong."""
        typed = self.cleaned_data.get(name)
        if not typed:
            return None
        try:
            return read_clock(typed, day=day, zone=self.setting.zone)
        except ValidationError as error:
            self.add_error(name, error)
            return None


class KeyedForm:
    """Mixin for a new result: its key is made with the empty form, so that sending it twice is
    no harm."""

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["key"] = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)
        self.helper.layout.append("key")


class ReasonedForm:
    """Mixin for a correction: why, and from which record it was made."""

    asks_reason = True

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["seen"] = forms.IntegerField(widget=forms.HiddenInput)
        self.helper.layout.append("seen")


def conditions_of(revision: Revision) -> dict[str, Any]:
    """What the shared fields of a correction held for an earlier record."""
    return {
        "steps_met": revision.steps_met,
        "sky": revision.sky,
        "ground": revision.ground,
        "remark": revision.remark,
        "seen": revision.number,
    }
