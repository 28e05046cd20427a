"""Forms for lessons, and for who was at one."""

from crispy_forms.bootstrap import AppendedText
from crispy_forms.layout import Field, Fieldset, Layout
from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from coursework import services
from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.forms.several import SeveralField
from coursework.models import Enrolment, Lesson
from coursework.rings import ring_sentence

PRESENT, ABSENT = "present", "absent"


class LessonForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Lesson
        fields = [
            "title",
            "minutes",
            "objectives",
            "outline",
            "kit",
            "cautions",
            "references",
            "prerequisites",
        ]
        field_classes = {"prerequisites": SeveralField}
        widgets = {
            "objectives": forms.Textarea(attrs={"rows": 4}),
            "outline": forms.Textarea(attrs={"rows": 14}),
            "kit": forms.Textarea(attrs={"rows": 5}),
            "cautions": forms.Textarea(attrs={"rows": 4}),
            "references": forms.Textarea(attrs={"rows": 3}),
            "prerequisites": forms.CheckboxSelectMultiple,
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        others = Lesson.objects.filter(course=self.instance.course_id).exclude(pk=self.instance.pk)
        self.fields["prerequisites"].queryset = others.order_by("position", "id")
        self.fields["minutes"].help_text = ""
        if not others:
            del self.fields["prerequisites"]
            self.helper.layout = self.layout()

    def layout(self):
        parts = [
            Fieldset(
                _("The lesson"), "title", AppendedText("minutes", _("min")), "objectives", "outline"
            ),
            Fieldset(_("Taken along"), "kit", "cautions", "references"),
        ]
        if "prerequisites" in self.fields:
            parts.append(Fieldset(_("Order"), "prerequisites"))
        return Layout(*parts)

    def clean_title(self):
        among = Lesson.objects.filter(course=self.instance.course_id)
        if taken(self, "title", among):
            raise forms.ValidationError(_("The course already has a lesson of this title."))
        return self.cleaned_data["title"]

    def clean_prerequisites(self):
        chosen = self.cleaned_data["prerequisites"]
        if ring := services.prerequisite_ring(self.instance, chosen):
            raise forms.ValidationError(ring_sentence(ring))
        return chosen


class AttendanceForm(CrispyLook, forms.Form):
    """One choice a student: present, absent, or not marked yet."""

    def __init__(self, *args, enrolments: QuerySet[Enrolment], standing: dict[int, bool], **kwargs):
        self.students = {f"person-{row.person_id}": row.person for row in enrolments}
        super().__init__(*args, **kwargs)
        for name, person in self.students.items():
            mark = standing.get(person.pk)
            self.fields[name] = forms.ChoiceField(
                label=person.name,
                choices=[(PRESENT, _("present")), (ABSENT, _("absent"))],
                required=False,
                widget=forms.RadioSelect,
                initial={True: PRESENT, False: ABSENT}.get(mark),
            )
        template = "coursework/forms/attendance_field.html"
        self.helper.layout = Layout(*[Field(name, template=template) for name in self.students])

    @property
    def present(self) -> dict[int, bool]:
        """Number of each person who is marked, with whether they were there."""
        return {
            person.pk: self.cleaned_data[name] == PRESENT
            for name, person in self.students.items()
            if self.cleaned_data[name]
        }
