"""Who takes which course when, and the drills they are taken out on."""

from datetime import date, datetime, timedelta
from typing import Self

from django.core.exceptions import ValidationError
from django.db import models
from django.utils.translation import gettext, pgettext
from django.utils.translation import gettext_lazy as _

from coursework.models.bookings import Booking, BookingQuerySet
from coursework.models.safety import Decision

QUIET = timedelta(minutes=30)
"""Before an assessed drill and after it, its students do not see what would answer it."""


class Role(models.TextChoices):
    LEAD = "lead", _("course lead")
    ASSISTANT = "assistant", _("assistant instructor")
    STUDENT = "student", _("student")


class PlannedCheck(models.TextChoices):
    """By what the lines of a drill are to be checked."""

    COMPASS = "compass", _("compass")
    SHADOW = "shadow", _("angle from a plumb line’s shadow")
    LANDMARK = "landmark", _("angle from a reference mark")


class CohortQuerySet(models.QuerySet):
    def with_numbers(self) -> Self:
        """Each with its course and `students`, the number of them."""
        students = models.Count("enrolments", filter=models.Q(enrolments__role=Role.STUDENT))
        # Rows that are counted lose the order of Meta.
        rows = self.select_related("course").annotate(students=students)
        return rows.order_by(*Cohort._meta.ordering)

    def not_over(self, today: date) -> Self:
        return self.filter(ends_on__gte=today)

    def matching(self, words: str) -> Self:
        return self.filter(
            models.Q(name__icontains=words) | models.Q(course__title__icontains=words)
        )


class Cohort(models.Model):
    """One group of people going through one course."""

    course = models.ForeignKey("coursework.Course", models.PROTECT, related_name="cohorts")
    name = models.CharField(_("name"), max_length=120)
    starts_on = models.DateField(_("first day"))
    ends_on = models.DateField(_("last day"))
    people = models.ManyToManyField(
        "coursework.Person", through="coursework.Enrolment", related_name="cohorts"
    )

    objects = CohortQuerySet.as_manager()

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

    def clean(self):
        super().clean()
        if self.course_id is not None and self.course.is_draft:
            raise ValidationError({"course": _("A cohort takes a published version of a course.")})

    def stage(self, today: date) -> str:
        """Whether it is to come, running or over, in words."""
        if today < self.starts_on:
            return gettext("to come")
        return pgettext("cohort", "over") if today > self.ends_on else gettext("running")


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


class _Minutes(models.Func):
    """A number of minutes as a span of time, in the database."""

    template = "(%(expressions)s * interval '1 minute')"
    output_field = models.DurationField()

    def as_sqlite(self, compiler, connection, **context):
        # Spans are microseconds there.
        return self.as_sql(compiler, connection, template="(%(expressions)s * 60000000)", **context)


class DrillQuerySet(BookingQuerySet):
    def with_places(self) -> Self:
        """Each with what a line in a list says of it."""
        return self.select_related("exercise", "site", "cohort__course")

    def for_lines(self) -> Self:
        """As `with_places`, with no more of each than a line of a list shows."""
        own = ("starts_at", "assessed", "cancelled_at")
        told = ("exercise__title", "site__name", "site__zone", "cohort__name")
        return self.select_related("exercise", "site", "cohort").only(*own, *told)

    def keeping_quiet(self, now: datetime) -> Self:
        """Assessed drills going ahead at an instant, `QUIET` before and after them included."""
        ends_at = models.ExpressionWrapper(
            models.F("starts_at") + _Minutes("minutes"), output_field=models.DateTimeField()
        )
        begun = self.going_ahead().filter(assessed=True, starts_at__lte=now + QUIET)
        return begun.alias(over_at=ends_at).filter(over_at__gt=now - QUIET)

    def with_last_outcome(self) -> Self:
        """Each with `last_outcome` of its go-or-stay decisions, None where there is none."""
        last = Decision.objects.filter(drill=models.OuterRef("pk")).order_by("-decided_at", "-id")
        return self.annotate(last_outcome=models.Subquery(last.values("outcome")[:1]))


class DrillManager(models.Manager.from_queryset(DrillQuerySet)):
    """Drills that are held with a cohort. What students practise alone is in none of the lists."""

    use_in_migrations = False

    def get_queryset(self):
        return super().get_queryset().filter(practised_by=None)


class Drill(Booking):
    """An exercise held at a site at an hour with a cohort, or practised there by one student."""

    cohort = models.ForeignKey(Cohort, models.CASCADE, related_name="drills")
    exercise = models.ForeignKey("coursework.Exercise", models.PROTECT, related_name="drills")
    site = models.ForeignKey("coursework.Site", models.PROTECT, related_name="drills")
    assessed = models.BooleanField(
        _("assessed"),
        default=True,
        help_text=_("Whether its results count; practice is scored and shown all the same."),
    )
    planned_check = models.CharField(
        _("how lines are checked"), max_length=10, choices=PlannedCheck, blank=True
    )
    heat_expected = models.FloatField(
        _("heat you expect"),
        null=True,
        blank=True,
        help_text=_("As the school measures it, from a forecast you trust: none is fetched."),
    )
    wet_plan = models.CharField(_("in wet weather"), max_length=300, blank=True)
    pinned = models.BooleanField(
        _("pinned"),
        default=False,
        help_text=_("A proposed timetable leaves it where it is."),
    )
    practised_by = models.ForeignKey(
        "coursework.Person",
        models.CASCADE,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
        help_text=_("Set where a student practised alone: nobody else is in it."),
    )

    objects = DrillManager()
    whole = DrillQuerySet.as_manager()

    class Meta:
        verbose_name = _("drill")
        verbose_name_plural = _("drills")
        ordering = ["-starts_at", "id"]
        indexes = [models.Index(fields=["cohort", "starts_at"])]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(practised_by=None) | models.Q(assessed=False),
                name="drill_practised_alone_never_counts",
            )
        ]

    def __str__(self) -> str:
        return f"{self.exercise}, {self.site}"

    @property
    def title(self) -> str:
        return self.exercise.title

    @property
    def place_name(self) -> str:
        return self.site.name

    @property
    def zone(self) -> str:
        return self.site.zone

    @property
    def ref(self) -> str:
        return str(self.pk)

    @property
    def quiet_until(self) -> datetime:
        """When the students of an assessed drill see again what would answer it."""
        return self.ends_at + QUIET

    @property
    def quiet_words(self) -> str:
        """Why something is hidden from its students, and until when."""
        until = self.quiet_until.astimezone(self.site.zone_info)
        return gettext(
            "Hidden until %(until)s: your assessed drill “%(drill)s” is on at %(site)s. Sun cards, "
            "the sun’s place, the planner and scores there would answer it."
        ) % {
            "until": f"{until:%H:%M %Z}",
            "drill": self.exercise,
            "site": self.site,
        }
