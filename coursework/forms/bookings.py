"""What the forms of a drill and of a planned lesson have alike."""

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from coursework.forms.look import CrispyLook
from coursework.forms.moments import clock_field, day_field
from coursework.models import Group, Person

FIRST_YEAR, LAST_YEAR = 1990, 2050


class BookingForm(CrispyLook, forms.ModelForm):
    """Start, people and the reason why it is held all the same; `plan` is of what it holds."""

    announces = True
    """Where the whole form alone is at fault, that is what its page has to say at once."""
    years_words = _("The sun is computed for the years %(first)s to %(last)s only.")

    day = day_field()
    clock = clock_field(label=_("Start"), help_text=_("By the clock at the site."))
    reason = forms.CharField(
        label=_("Held all the same, because"),
        required=False,
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=_(
            "Only where something speaks against the plan. It stays on record with your name, "
            "for each of the things shown."
        ),
    )

    def offer_people(self, staff) -> None:
        """Those of `staff` can be named, and the groups of the cohort ticked."""
        kept = set()
        if self.instance.pk is not None:
            # Someone who instructs no more stays named until another one is.
            kept = set(self.instance.assistants.order_by().values_list("pk", flat=True))
            kept |= {self.instance.lead_id} - {None}
        people = Person.objects.filter(pk__in={*staff.values_list("pk", flat=True), *kept})
        self.fields["lead"].queryset = people
        self.fields["lead"].empty_label = _("Nobody yet")
        self.fields["assistants"].queryset = people
        self.fields["assistants"].required = False
        groups = Group.objects.filter(cohort=self.instance.cohort_id)
        if groups.exists():
            self.fields["groups"].queryset = groups
        else:
            del self.fields["groups"]

    def show_start(self) -> None:
        """The start of a saved one, by its own clock."""
        if self.instance.pk is not None:
            self.initial["day"] = self.instance.local_start.date()
            self.initial["clock"] = self.instance.local_start.time()

    @property
    def people(self) -> list[str]:
        return ["lead", "assistants", *(["groups"] if "groups" in self.fields else [])]

    @property
    def seen(self) -> list[str]:
        """The keys of the conflicts that stood beside the form when it was sent."""
        return self.data.getlist("seen") if self.is_bound else []

    def has_all(self, *needed: str) -> bool:
        """Whether what was sent has these fields and a start that exists."""
        self.is_valid()
        given = self.cleaned_data
        missing = any(given.get(name) is None for name in (*needed, "day", "clock", "minutes"))
        return not missing and "clock" not in self.errors

    @property
    def given_people(self) -> dict:
        given = self.cleaned_data
        return {
            "lead": given.get("lead"),
            "assistants": tuple(given.get("assistants") or ()),
            "groups": tuple(given.get("groups") or ()),
        }

    def clean_day(self):
        day = self.cleaned_data["day"]
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            raise ValidationError(
                self.years_words,
                params={"first": FIRST_YEAR, "last": LAST_YEAR},
            )
        return day
