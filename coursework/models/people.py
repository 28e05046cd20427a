"""A school and the people who belong to it."""

from datetime import date
from typing import Self

from django.apps import apps
from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.utils.translation import gettext_lazy as _


class School(models.Model):
    """One school. Every record belongs to one, and no one sees another's."""

    name = models.CharField(_("name"), max_length=120, unique=True)
    is_first = models.BooleanField(
        null=True,
        unique=True,
        default=None,
        editable=False,
        help_text=_(
            "Set for the school that the first-run page made, null for others: unique, so that "
            "two people who send that page at once cannot both succeed."
        ),
    )

    class Meta:
        verbose_name = _("school")
        verbose_name_plural = _("schools")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class PersonQuerySet(models.QuerySet):
    def with_roles(self) -> Self:
        """Each with their enrolments and those cohorts, in two queries for all."""
        return self.prefetch_related(models.Prefetch("enrolments", queryset=self._roles()))

    def for_lines(self) -> Self:
        """As `with_roles`, with no more of each than a line of a list shows."""
        roles = self._roles().only("role", "person", "cohort__name")
        own = ("name", "username", "is_active", "is_school_admin", "last_login")
        return self.only(*own).prefetch_related(models.Prefetch("enrolments", queryset=roles))

    @staticmethod
    def _roles() -> models.QuerySet:
        return apps.get_model("coursework.Enrolment").objects.select_related("cohort")

    def staff(self, today: date) -> Self:
        """Those with access who instruct in a cohort that is not over, or hold an approval.

        Each has `first_aid_until` and `assessor_until`, the last day that any approval of the
        kind reaches; None where there is none.
        """
        enrolments = apps.get_model("coursework.Enrolment").objects.order_by()
        instructing = enrolments.exclude(role="student").filter(cohort__ends_on__gte=today)
        last = {
            column: models.Max("approvals__expires_on", filter=models.Q(approvals__kind=kind))
            for kind, column in apps.get_model("coursework.Approval").UNTIL.items()
        }
        return (
            self.annotate(**last)
            .filter(
                models.Q(pk__in=instructing.values("person"))
                | models.Q(first_aid_until__isnull=False)
                | models.Q(assessor_until__isnull=False),
                is_active=True,
            )
            .order_by("name", "id")
        )


class PersonManager(UserManager.from_queryset(PersonQuerySet)):
    use_in_migrations = False


class Person(AbstractUser):
    """Someone who signs in. What they may do comes from their enrolments, cohort by cohort."""

    first_name = None
    last_name = None
    name = models.CharField(_("name"), max_length=120)
    school = models.ForeignKey(
        School, on_delete=models.PROTECT, null=True, blank=True, related_name="people"
    )
    is_school_admin = models.BooleanField(
        _("school administrator"),
        default=False,
        help_text=_("Sees and arranges everything of the school."),
    )
    degrees_per_hand = models.FloatField(
        _("degrees a hand covers"),
        null=True,
        blank=True,
        help_text=_("Measured for this person at arm’s length; blank where it never was."),
    )
    paces_per_100_m = models.FloatField(
        _("paces for 100 m"),
        null=True,
        blank=True,
        help_text=_("Counted by this person over a measured distance; blank where it never was."),
    )
    erased_at = models.DateTimeField(
        _("erased"),
        null=True,
        blank=True,
        editable=False,
        help_text=_("When the personal data were erased; the name is an anonymous label then."),
    )

    objects = PersonManager()

    REQUIRED_FIELDS = ["name"]

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        ordering = ["name", "id"]

    def __str__(self) -> str:
        return self.name or self.username

    def get_full_name(self) -> str:
        return self.name

    def get_short_name(self) -> str:
        return self.name
