"""The form of an attempt that came to no result: the reason, and nothing that was measured."""

import uuid

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from assessments.models import NoResult
from assessments.observations import Observation
from assessments.refusals import Refused
from coursework.forms.look import CrispyLook

BUTTON = "no_result"
"""The name of the buttons: what they send is the reason, a value of `NoResult`."""


class NoResultForm(CrispyLook, forms.Form):
    """Two taps: the reasons are the buttons. After validation `observation` holds it."""

    remark = forms.CharField(
        label=_("In a few words"),
        help_text=_("Needed for another reason."),
        max_length=300,
        required=False,
    )
    key = forms.UUIDField(widget=forms.HiddenInput, initial=uuid.uuid4)

    def __init__(self, *args, **kwargs):
        # Its fields stand on a page with those of a result.
        super().__init__(*args, auto_id="id_none_%s", **kwargs)
        self.observation: Observation | None = None

    @property
    def reasons(self) -> list[tuple[str, str]]:
        return NoResult.choices

    def clean(self):
        data = super().clean()
        chosen = self.data.get(BUTTON, "")
        if chosen not in NoResult.values:
            raise ValidationError(_("Choose why there is no result."))
        if chosen == NoResult.OTHER and not data.get("remark", "").strip():
            self.add_error("remark", _("Say in a few words why there is no result."))
        if not self.errors:
            self.observation = Observation(
                columns={}, no_result=chosen, remark=data["remark"].strip()
            )
        return data

    def refuse(self, refused: Refused) -> None:
        """Shows why it cannot be stored, beside the field it is about."""
        self.add_error(refused.field if refused.field in self.fields else None, refused.sentence)


class NoResultCorrectionForm(NoResultForm):
    """A stored result that should have been none, and why."""

    reason = forms.CharField(
        label=_("Reason for the correction"),
        max_length=300,
        error_messages={"required": _("Say why the record is corrected.")},
    )
    seen = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        del self.fields["key"]
