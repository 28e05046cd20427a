"""Who of a cohort is issued a certificate in a run, and on which paper."""

from collections.abc import Sequence

from crispy_forms.layout import HTML, Div, Field, Layout
from django import forms
from django.utils.html import format_html
from django.utils.translation import gettext_lazy as _

from assessments.certification.issuing import family_name_fault
from assessments.certification.runs import Prospect
from assessments.models import PacketRun
from coursework.forms.look import CrispyLook


class PacketRunForm(CrispyLook, forms.Form):
    """A tick and a family name for each student who is ready."""

    paper = forms.ChoiceField(
        label=_("Paper"), choices=PacketRun._meta.get_field("paper").choices, initial="a4"
    )

    def __init__(self, *args, ready: Sequence[Prospect], **kwargs):
        self.ready = ready
        super().__init__(*args, **kwargs)
        for one in ready:
            pk, name = one.student.pk, one.student.name
            self.fields[f"issue_{pk}"] = forms.BooleanField(
                label=_("Issue to %s") % name, required=False, initial=True
            )
            self.fields[f"name_{pk}"] = forms.CharField(
                label=format_html(
                    '{}<span class="visually-hidden"> {}</span>', _("Family name"), name
                ),
                max_length=120,
                required=False,
                initial=name.split()[-1] if name.split() else "",
            )
        self.helper.layout = self.layout()

    def layout(self):
        rows = [
            Div(
                Div(Field(f"issue_{one.student.pk}"), HTML(_newer(one)), css_class="run-tick"),
                Div(Field(f"name_{one.student.pk}"), css_class="run-name"),
                css_class="run-choice",
            )
            for one in self.ready
        ]
        return Layout(*rows, "paper")

    def clean(self):
        cleaned = super().clean()
        for one in self.ready:
            pk = one.student.pk
            fault = family_name_fault(cleaned.get(f"name_{pk}", ""), one.student)
            if cleaned.get(f"issue_{pk}") and fault is not None:
                self.add_error(f"name_{pk}", fault)
        return cleaned

    @property
    def family_names(self) -> dict[int, str]:
        """Of those who are ticked, by student (primary key)."""
        sent = self.cleaned_data
        pks = [one.student.pk for one in self.ready]
        return {pk: sent[f"name_{pk}"] for pk in pks if sent[f"issue_{pk}"]}


def _newer(one: Prospect) -> str:
    """What the lead should look at before; markup without variables of a template."""
    said = []
    if one.withdrawn:
        said.append(_("An earlier certificate was withdrawn."))
    if one.newer:
        said.append(_("Assessed attempts came in since the sign-off: look at them first."))
    notes = " ".join(str(words) for words in said)
    return format_html('<p class="row-fault">{}</p>', notes) if said else ""
