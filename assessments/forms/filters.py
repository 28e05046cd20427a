"""Narrowing the list of results."""

from crispy_forms.layout import Column, Layout, Row
from django import forms
from django.db.models import Exists, OuterRef, QuerySet
from django.utils.functional import cached_property
from django.utils.text import format_lazy
from django.utils.translation import gettext_lazy as _

from assessments.models import Attempt, NoResult, Verdict
from assessments.models.attempts import NO_RESULT
from coursework.forms.look import CrispyLook
from coursework.models import Exercise, Method, Person
from coursework.narrowing import ASKED, Narrowing

OUTCOMES = [
    *Verdict.choices,
    (NO_RESULT, _("no result")),
    *[
        (f"{NO_RESULT}: {value}", format_lazy(_("no result: {reason}"), reason=label))
        for value, label in NoResult.choices
    ],
]
NAMES = ("student", "exercise", "method", "verdict")


class AttemptFilterForm(CrispyLook, forms.Form):
    """Offers only the students and exercises that occur among `attempts`."""

    student = forms.ModelChoiceField(
        label=_("Student"), queryset=Person.objects.none(), required=False, empty_label=_("all")
    )
    exercise = forms.ModelChoiceField(
        label=_("Exercise"), queryset=Exercise.objects.none(), required=False, empty_label=_("all")
    )
    method = forms.ChoiceField(
        label=_("Method"), choices=[("", _("all")), *Method.choices], required=False
    )
    verdict = forms.ChoiceField(
        label=_("Outcome"), choices=[("", _("all")), *OUTCOMES], required=False
    )

    def __init__(self, *args, attempts: QuerySet[Attempt], offers_all: bool = True, **kwargs):
        """Without `offers_all` only what is asked for can be recognised: quicker to make."""
        super().__init__(*args, **kwargs)
        self.attempts = attempts
        for name in ("student", "exercise"):
            if offers_all or self.data.get(name):
                self._offer(name)

    def offer_all(self) -> None:
        for name in ("student", "exercise"):
            self._offer(name)

    def _offer(self, name: str) -> None:
        field = self.fields[name]
        # Asked one by one, each answered by the first result found: not by reading them all.
        occurring = self.attempts.order_by().filter(**{name: OuterRef("pk")})
        rows = field.queryset.model.objects.filter(Exists(occurring))
        said = ("name", "username") if name == "student" else ("title",)
        field.queryset = rows.only(*said).order_by(said[0], "id")

    def layout(self):
        return Layout(Row(*[Column(name) for name in NAMES]))

    def narrow(self, attempts: QuerySet[Attempt]) -> QuerySet[Attempt]:
        """The attempts asked for; what is not offered is an error at its field, and not used."""
        self.errors  # noqa: B018 - validates
        asked = {name: self.cleaned_data.get(name) for name in NAMES}
        return attempts.narrowed(**{name: value for name, value in asked.items() if value})


class AttemptFilter(Narrowing):
    """What the list of results is narrowed to."""

    names = NAMES

    def __init__(self, data, attempts: QuerySet[Attempt]):
        self.data, self.attempts = data, attempts

    @cached_property
    def form(self) -> AttemptFilterForm:
        is_open = ASKED in self.data
        form = AttemptFilterForm(self.data, attempts=self.attempts, offers_all=is_open)
        if not is_open and form.errors:
            # It is shown then.
            form.offer_all()
        self.open_at_first_choice(form)
        return form

    @property
    def qs(self) -> QuerySet[Attempt]:
        return self.form.narrow(self.attempts) if self.is_asked else self.attempts
