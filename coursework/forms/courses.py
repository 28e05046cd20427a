"""Forms for courses: their texts, publishing, copying, and files of them."""

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook
from coursework.models import Course

TAKEN = _("The school already has a course of this title.")


def title_taken(title: str, course: Course) -> bool:
    """Whether another course of the school has the title, in any version, capitals aside."""
    among = Course.objects.filter(school=course.school_id, title__iexact=title)
    return among.exclude(lineage=course.lineage).exists()


class CourseForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Course
        fields = ["title", "summary"]
        widgets = {"summary": forms.Textarea(attrs={"rows": 4})}

    def clean_title(self):
        title = self.cleaned_data["title"]
        if title_taken(title, self.instance):
            raise forms.ValidationError(TAKEN)
        return title


class PublishForm(CrispyLook, forms.ModelForm):
    """What changed is asked for from the second version on."""

    class Meta:
        model = Course
        fields = ["change_note"]
        labels = {"change_note": _("What changed, and why")}
        widgets = {"change_note": forms.Textarea(attrs={"rows": 4})}
        help_texts = {"change_note": _("Read by course leads before they move a cohort to it.")}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.number == 1:
            del self.fields["change_note"]
            self.helper.layout = Layout()
        else:
            self.fields["change_note"].required = True


class CopyForm(CrispyLook, forms.Form):
    title = forms.CharField(label=_("Title of the copy"), max_length=120)

    def __init__(self, *args, course: Course, **kwargs):
        super().__init__(*args, **kwargs)
        self.course = course

    def clean_title(self):
        title = self.cleaned_data["title"]
        # The copy is another course, so its original's title is taken as well.
        if title_taken(title, Course(school_id=self.course.school_id)):
            raise forms.ValidationError(TAKEN)
        return title


class ImportForm(CrispyLook, forms.Form):
    file = forms.FileField(
        label=_("Course file"),
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": "application/json,.json"}),
        help_text=_("A JSON file as “Save as a file” on the page of a course makes it."),
    )
    title = forms.CharField(
        label=_("Another title"),
        max_length=120,
        required=False,
        help_text=_("Leave it blank to keep the title in the file."),
    )
