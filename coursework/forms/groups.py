"""The form for a group of a cohort, and the one that asks why something is cancelled."""

from django import forms
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.forms.several import SeveralField
from coursework.models import Group, Person


class GroupForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Group
        fields = ["name", "students"]
        field_classes = {"students": SeveralField}
        widgets = {"students": forms.CheckboxSelectMultiple}

    def __init__(self, *args, students, **kwargs):
        super().__init__(*args, **kwargs)
        field = self.fields["students"]
        field.queryset = students
        field.label_from_instance = self._label
        others = Group.objects.filter(cohort=self.instance.cohort_id).exclude(pk=self.instance.pk)
        self._elsewhere: dict[int, list[str]] = {}
        for group in others.prefetch_related("students"):
            for person in group.students.all():
                self._elsewhere.setdefault(person.pk, []).append(group.name)

    def _label(self, person: Person) -> str:
        names = self._elsewhere.get(person.pk)
        if not names:
            return person.name
        return _("%(name)s (in %(groups)s)") % {"name": person.name, "groups": ", ".join(names)}

    def clean_name(self):
        name = self.cleaned_data["name"]
        if taken(self, "name", Group.objects.filter(cohort=self.instance.cohort_id)):
            raise forms.ValidationError(_("This cohort already has a group of this name."))
        return name


class CancelForm(CrispyLook, forms.Form):
    reason = forms.CharField(
        label=_("Why"),
        max_length=300,
        help_text=_("Stands in everyone’s calendar and on its page."),
    )
