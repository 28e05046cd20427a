"""Forms for cohorts and the people in them."""

from django import forms
from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from coursework.forms.checks import taken
from coursework.forms.look import CrispyLook
from coursework.forms.several import SeveralField
from coursework.models import Approval, Cohort, Course, Person, Role
from coursework.wording import in_one_line, said_of

DATE = {"type": "date"}


class CohortForm(CrispyLook, forms.ModelForm):
    class Meta:
        model = Cohort
        fields = ["course", "name", "starts_on", "ends_on"]
        widgets = {
            "starts_on": forms.DateInput(attrs=DATE, format="%Y-%m-%d"),
            "ends_on": forms.DateInput(attrs=DATE, format="%Y-%m-%d"),
        }
        labels = {"course": _("Course")}
        help_texts = {"name": _("Such as “Summer 2026, first group”.")}

    leads = forms.BooleanField(
        label=_("I lead this cohort"),
        required=False,
        initial=True,
        help_text=_("You then stand as its course lead; leads can be added and changed later."),
    )

    def __init__(self, *args, courses: QuerySet[Course], asks_lead: bool = False, **kwargs):
        super().__init__(*args, **kwargs)
        if not asks_lead:
            del self.fields["leads"]
        self.fields["course"].queryset = courses
        self.fields["course"].empty_label = _("Choose one")
        self.fields["course"].label_from_instance = lambda course: course.title_with_version
        # Exercises of drills and lessons belong to the course: it cannot change under them.
        if self.instance.pk is not None and _is_planned(self.instance):
            self.fields["course"].disabled = True
            self.fields["course"].help_text = _(
                "Drills or lessons are planned, so the course stays. The cohort can be moved to a "
                "newer version of it from its page."
            )

    def clean(self):
        cleaned = super().clean()
        course = cleaned.get("course")
        # Of all versions: cohorts move from one to the next, and take their names along.
        if course and taken(self, "name", Cohort.objects.filter(course__lineage=course.lineage)):
            self.add_error("name", _("This course already has a cohort of this name."))
        first, last = cleaned.get("starts_on"), cleaned.get("ends_on")
        if first and last and last < first:
            self.add_error("ends_on", _("The last day is before the first."))
        return cleaned


def _is_planned(cohort: Cohort) -> bool:
    return cohort.drills.exists() or cohort.planned_lessons.exists()


class _PersonChoices(SeveralField):
    """People of the school; those who are in the cohort already are shown with their role."""

    roles: dict[int, list[str]] = {}
    staff_notes: dict[int, list[str]] = {}

    def label_from_instance(self, person: Person) -> str:
        held = self.roles.get(person.pk)
        label = f"{person.name} ({person.username})"
        if held:
            label = said_of(label, ", ".join(held))
        # Whoever is chosen as lead or assistant is chosen knowing this.
        notes = self.staff_notes.get(person.pk)
        return f"{label} – {in_one_line(notes)}" if notes else label


def _notes_of_staff(people: QuerySet[Person]) -> dict[int, list[str]]:
    """What is lapsed, or lapses soon, of those of whom an approval was ever recorded."""
    today = timezone.localdate()
    held = Approval.objects.filter(person__in=people.order_by().values("pk"))
    some = set(held.order_by().values_list("person", flat=True))
    return Approval.objects.staff_notes(some, today=today)


class EnrolForm(CrispyLook, forms.Form):
    """Several people of the school into one role."""

    role = forms.ChoiceField(
        label=_("Role"), choices=Role, initial=Role.STUDENT, widget=forms.RadioSelect
    )
    people = _PersonChoices(
        label=_("People of the school"),
        queryset=Person.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Tick at least one person.")},
    )

    def __init__(self, *args, cohort: Cohort, people: QuerySet[Person], **kwargs):
        super().__init__(*args, **kwargs)
        roles: dict[int, list[str]] = {}
        for enrolment in cohort.enrolments.all():
            roles.setdefault(enrolment.person_id, []).append(enrolment.get_role_display())
        self.fields["people"].roles = roles
        self.fields["people"].staff_notes = _notes_of_staff(people)
        self.fields["people"].queryset = people


def _checked_password(form: forms.Form, person: Person) -> str | None:
    password = form.cleaned_data.get("password")
    if password:
        try:
            password_validation.validate_password(password, person)
        except ValidationError as error:
            form.add_error("password", error)
    return password


class FirstPasswordForm(CrispyLook, forms.Form):
    # Shown while typed: it is told to the person, who then chooses one of their own.
    password = forms.CharField(
        label=_("First password"),
        strip=False,
        help_text=_(
            "At least 10 characters, not a common word. Tell it to the person; they can change "
            "it under their name at the top of the page."
        ),
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "none", "spellcheck": "false"}
        ),
    )

    def __init__(self, *args, person: Person | None = None, **kwargs):
        super().__init__(*args, **kwargs)
        self.person = person

    def clean(self):
        cleaned = super().clean()
        if self.person is not None:
            _checked_password(self, self.person)
        return cleaned


class NewPersonForm(CrispyLook, forms.ModelForm):
    """Someone new to the school, with a role in a cohort and a first password."""

    role = forms.ChoiceField(
        label=_("Role"), choices=Role, initial=Role.STUDENT, widget=forms.RadioSelect
    )
    password = FirstPasswordForm.base_fields["password"]

    class Meta:
        model = Person
        fields = ["name", "username"]
        labels = {"username": _("Sign-in name")}
        help_texts = {"username": _("Letters, digits and @ . + - _ only; no one else has it.")}
        error_messages = {"username": {"unique": _("Someone already has this sign-in name.")}}
        widgets = {"username": forms.TextInput(attrs={"autocapitalize": "none"})}

    field_order = ["name", "role", "username", "password"]

    def clean(self):
        cleaned = super().clean()
        person = Person(name=cleaned.get("name", ""), username=cleaned.get("username", ""))
        _checked_password(self, person)
        return cleaned
