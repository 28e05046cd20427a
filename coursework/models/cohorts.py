"""Who takes which course when, and the drills they are taken out on."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    LEAD = "lead", _("course lead")
    ASSISTANT = "assistant", _("assistant instructor")
    STUDENT = "student", _("student")


class Cohort(models.Model):
    """One group of people going through one course."""

    course = models.ForeignKey("coursework.Course", models.PROTECT, related_name="cohorts")
    name = models.CharField(_("name"), max_length=120)
    starts_on = models.DateField(_("first day"))
    ends_on = models.DateField(_("last day"))
    people = models.ManyToManyField(
        "coursework.Person", through="coursework.Enrolment", related_name="cohorts"
    )

    class Meta:
        verbose_name = _("cohort")
        verbose_name_plural = _("cohorts")
        ordering = ["-starts_on", "name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["course", "name"], name="cohort_once_a_course"),
            models.CheckConstraint(
                condition=models.Q(ends_on__gte=models.F("starts_on")),
                name="cohort_ends_after_it_starts",
                violation_error_message=_("The last day is before the first."),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Enrolment(models.Model):
    """One person in one role in one cohort; a person may hold several."""

    cohort = models.ForeignKey(Cohort, models.CASCADE, related_name="enrolments")
    person = models.ForeignKey("coursework.Person", models.PROTECT, related_name="enrolments")
    role = models.CharField(_("role"), max_length=10, choices=Role)

    class Meta:
        verbose_name = _("enrolment")
        verbose_name_plural = _("enrolments")
        ordering = ["role", "person__name", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["cohort", "person", "role"], name="enrolled_once_in_a_role"
            )
        ]

    def __str__(self) -> str:
        return f"{self.person}, {self.get_role_display()}, {self.cohort}"


class Drill(models.Model):
    """An exercise held at a site at an hour with a cohort."""

    cohort = models.ForeignKey(Cohort, models.CASCADE, related_name="drills")
    exercise = models.ForeignKey("coursework.Exercise", models.PROTECT, related_name="drills")
    site = models.ForeignKey("coursework.Site", models.PROTECT, related_name="drills")
    starts_at = models.DateTimeField(_("start"))
    minutes = models.PositiveSmallIntegerField(
        _("length"),
        default=60,
        validators=[MinValueValidator(5), MaxValueValidator(1440)],
        help_text=_("Minutes."),
    )
    assessed = models.BooleanField(
        _("assessed"),
        default=True,
        help_text=_("Whether its results count; practice is scored and shown all the same."),
    )

    class Meta:
        verbose_name = _("drill")
        verbose_name_plural = _("drills")
        ordering = ["-starts_at", "id"]
        indexes = [models.Index(fields=["cohort", "starts_at"])]

    def __str__(self) -> str:
        return f"{self.exercise}, {self.site}"
