"""What lists can be narrowed to. Each takes the rows that the reader may see already."""

import django_filters as filters
from crispy_forms.layout import Column, Layout, Row
from django import forms
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from coursework.forms.look import CrispyLook
from coursework.models import (
    Cohort,
    Course,
    Drill,
    Exercise,
    Harm,
    Incident,
    Instrument,
    Outcome,
    Site,
)
from coursework.narrowing import Narrowing

ALL = _("all")


class FilterForm(CrispyLook, forms.Form):
    """Search words, and below them the choices in a row."""

    def layout(self):
        columns = [Column(name) for name in self.fields]
        return Layout(Row(columns[0]), Row(*columns[1:]))


class ListFilter(Narrowing, filters.FilterSet):
    """Search words (`q`) and choices. What cannot be understood is said at its field, not used."""

    q = filters.CharFilter(method="search", label=_("Find"), max_length=100)

    class Meta:
        form = FilterForm
        fields: list[str] = []

    def __init__(self, data, queryset: QuerySet, *, find=None):
        super().__init__(data, queryset)
        self.find = find or _("Find")

    @property
    def names(self) -> list[str]:
        return list(self.base_filters)

    @property
    def form(self) -> FilterForm:
        if not hasattr(self, "_form"):
            form = super().form
            form.fields["q"].widget.input_type = "search"
            form.fields["q"].label = self.find
            for name, field in form.fields.items():
                if name != "q" and field.__class__ is not forms.DateField:
                    field.empty_label = ALL
            self.open_at_first_choice(form)
            self.fit(form)
        return self._form

    def fit(self, form: FilterForm) -> None:
        """Offers only what occurs among the rows."""

    @property
    def qs(self) -> QuerySet:
        return super().qs if self.is_asked else self.queryset

    def search(self, rows: QuerySet, name: str, words: str) -> QuerySet:
        """Rows that have the words somewhere."""
        found = Q()
        for column in self.columns:
            found |= Q(**{f"{column}__icontains": words})
        return rows.filter(found)


class Choice(filters.ChoiceFilter):
    def __init__(self, **more):
        super().__init__(empty_label=ALL, **more)


class CourseFilter(ListFilter):
    columns = ("title", "summary")
    state = Choice(
        label=_("Version"),
        choices=[("published", _("published")), ("draft", _("draft"))],
        method="of_state",
    )

    class Meta(ListFilter.Meta):
        model = Course

    def of_state(self, rows, name, value):
        return rows.filter(published_at__isnull=value == "draft")


class SiteFilter(ListFilter):
    columns = ("name", "hazards", "zone")
    holds = Choice(
        label=_("With"),
        choices=[
            ("marks", _("reference marks")),
            ("skyline", _("a recorded skyline")),
            ("no-emergency", _("no emergency notes")),
        ],
        method="that_hold",
    )

    class Meta(ListFilter.Meta):
        model = Site

    def that_hold(self, rows, name, value):
        if value == "marks":
            return rows.filter(mark_number__gt=0)
        if value == "skyline":
            return rows.exclude(horizon="")
        return rows.filter(emergency="")


class CohortFilter(ListFilter):
    columns = ("name", "course__title")
    stage = Choice(
        label=_("Stage"),
        choices=[
            ("running", _("running")),
            ("to-come", _("to come")),
            ("over", pgettext_lazy("cohort", "over")),
        ],
        method="at_stage",
    )

    class Meta(ListFilter.Meta):
        model = Cohort

    def at_stage(self, rows, name, value):
        today = timezone.localdate()
        if value == "over":
            return rows.filter(ends_on__lt=today)
        if value == "to-come":
            return rows.filter(starts_on__gt=today)
        return rows.filter(starts_on__lte=today, ends_on__gte=today)


class InstrumentFilter(ListFilter):
    columns = ("label",)
    kind = Choice(label=_("Kind"), choices=Instrument.Kind.choices)
    state = Choice(
        label=_("Check"),
        choices=[
            ("overdue", _("overdue or never made")),
            ("in-time", _("in time")),
            ("retired", _("instrument retired")),
        ],
        method="in_state",
    )

    class Meta(ListFilter.Meta):
        model = Instrument

    def in_state(self, rows, name, value):
        today = timezone.localdate()
        if value == "overdue":
            return rows.overdue(today)
        if value == "in-time":
            return rows.checked_in_time(today)
        return rows.exclude(retired_at=None)


class _Dated(ListFilter):
    since = filters.DateFilter(
        label=pgettext_lazy("first day of a list", "From"),
        method="from_day",
        widget=forms.DateInput(attrs={"type": "date"}),
    )
    until = filters.DateFilter(
        label=pgettext_lazy("last day of a list", "To"),
        method="to_day",
        widget=forms.DateInput(attrs={"type": "date"}),
    )
    moment = ""

    class Meta(ListFilter.Meta):
        pass

    # By the dates of UTC: rows of several zones stand in one list.
    def from_day(self, rows, name, day):
        return rows.filter(**{f"{self.moment}__date__gte": day})

    def to_day(self, rows, name, day):
        return rows.filter(**{f"{self.moment}__date__lte": day})


class DrillFilter(_Dated):
    columns = ("exercise__title", "site__name", "cohort__name")
    moment = "starts_at"
    site = filters.ModelChoiceFilter(label=_("Site"), queryset=Site.objects.none())
    exercise = filters.ModelChoiceFilter(label=_("Exercise"), queryset=Exercise.objects.none())
    decided = Choice(
        label=_("Decision"),
        choices=[*Outcome.choices, ("none", _("none yet"))],
        method="with_decision",
    )

    class Meta(ListFilter.Meta):
        model = Drill

    def fit(self, form):
        rows = self.queryset.order_by()
        for name, model in (("site", Site), ("exercise", Exercise)):
            form.fields[name].queryset = model.objects.filter(pk__in=rows.values(name))

    def with_decision(self, rows, name, value):
        return rows.with_last_outcome().filter(last_outcome=None if value == "none" else value)


class IncidentFilter(_Dated):
    columns = ()
    moment = "occurred_at"
    kind = Choice(label=_("Kind"), choices=Incident.Kind.choices)
    harm = Choice(label=_("Harm"), choices=Harm.choices)
    site = filters.ModelChoiceFilter(label=_("Site"), queryset=Site.objects.none())
    state = Choice(
        label=_("Follow-up"),
        choices=[("open", _("something open")), ("settled", _("nothing open"))],
        method="in_state",
    )

    class Meta(ListFilter.Meta):
        model = Incident

    def fit(self, form):
        of_rows = self.queryset.order_by().values("site")
        form.fields["site"].queryset = Site.objects.filter(pk__in=of_rows)

    def search(self, rows, name, words):
        return rows.matching(words)

    def in_state(self, rows, name, value):
        return rows.filter(open_number__gt=0) if value == "open" else rows.filter(open_number=0)
