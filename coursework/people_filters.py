"""What the lists of people and of staff can be narrowed to."""

from datetime import timedelta

import django_filters as filters
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from coursework.filters import Choice, ListFilter
from coursework.models import Approval, Cohort, Enrolment, Person, Role


class PersonFilter(ListFilter):
    columns = ("name", "username", "email")
    cohort = filters.ModelChoiceFilter(
        label=_("Cohort"), queryset=Cohort.objects.none(), method="of_cohort"
    )
    role = Choice(
        label=_("Role"),
        choices=[*Role.choices, ("admin", _("school administrator")), ("none", _("no role"))],
        method="with_role",
    )
    account = Choice(
        label=_("Account"),
        choices=[
            ("open", _("open")),
            ("never", _("never signed in")),
            ("closed", _("closed")),
        ],
        method="with_account",
    )

    class Meta(ListFilter.Meta):
        model = Person

    def __init__(self, data, queryset, *, cohorts, **more):
        super().__init__(data, queryset, **more)
        self.cohorts = cohorts

    def fit(self, form):
        form.fields["cohort"].queryset = self.cohorts

    # One enrolment has to fit both choices, so they are looked at together.
    def filter_queryset(self, queryset):
        people = super().filter_queryset(queryset)
        cohort, role = (self.form.cleaned_data.get(name) for name in ("cohort", "role"))
        rows = Enrolment.objects.order_by()
        if cohort is not None:
            rows = rows.filter(cohort=cohort)
        if role in Role.values:
            rows = rows.filter(role=role)
        if cohort is not None or role in Role.values:
            people = people.filter(pk__in=rows.values("person"))
        return people

    def of_cohort(self, people, name, cohort):
        return people

    def with_role(self, people, name, role):
        if role == "admin":
            return people.filter(is_school_admin=True)
        if role == "none":
            return people.filter(enrolments=None, is_school_admin=False)
        return people

    def with_account(self, people, name, state):
        if state == "closed":
            return people.filter(is_active=False)
        people = people.filter(is_active=True)
        return people.filter(last_login=None) if state == "never" else people


class StaffFilter(ListFilter):
    columns = ("name", "username")
    kind = Choice(label=_("What"), choices=Approval.Kind.choices, method="of_kind")
    within = filters.NumberFilter(
        label=_("Lapses within days"),
        min_value=0,
        max_value=3660,
        method="lapsing",
    )

    class Meta(ListFilter.Meta):
        model = Person

    def of_kind(self, people, name, kind):
        return people

    def lapsing(self, people, name, days):
        """Those of whom something is missing, lapsed, or lapses within the days."""
        last = timezone.localdate() + timedelta(days=int(days))
        kind = self.form.cleaned_data.get("kind")
        found = Q()
        for one in [kind] if kind else Approval.Kind.values:
            column = Approval.UNTIL[one]
            found |= Q(**{column: None}) | Q(**{f"{column}__lte": last})
        return people.filter(found)
