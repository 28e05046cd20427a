"""Who takes which course when, and the drills they are taken out on."""

import uuid
from datetime import date, datetime, timedelta
from typing import Self

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext, pgettext
from django.utils.translation import gettext_lazy as _

from coursework.models.safety import Decision

LONGEST_MIN = 1440
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


class DrillQuerySet(models.QuerySet):
    def with_places(self) -> Self:
        """Each with what a line in a list says of it."""
        return self.select_related("exercise", "site", "cohort__course")

    def for_lines(self) -> Self:
        """As `with_places`, with no more of each than a line of a list shows."""
        own = ("starts_at", "assessed", "cancelled_at")
        told = ("exercise__title", "site__name", "site__zone", "cohort__name")
        return self.select_related("exercise", "site", "cohort").only(*own, *told)

    def with_people(self) -> Self:
        """Each with its lead, assistants and groups, in two queries for all."""
        return self.select_related("lead").prefetch_related("assistants", "groups")

    def going_ahead(self) -> Self:
        return self.filter(cancelled_at=None)

    def keeping_quiet(self, now: datetime) -> Self:
        """Assessed drills going ahead at an instant, `QUIET` before and after them included."""
        ends_at = models.ExpressionWrapper(
            models.F("starts_at") + _Minutes("minutes"), output_field=models.DateTimeField()
        )
        begun = self.going_ahead().filter(assessed=True, starts_at__lte=now + QUIET)
        return begun.alias(over_at=ends_at).filter(over_at__gt=now - QUIET)

    def overlapping(self, starts_at: datetime, ends_at: datetime) -> Self:
        """Those that may run between two instants: `Drill.runs_between` is exact."""
        return self.filter(
            starts_at__lt=ends_at, starts_at__gt=starts_at - timedelta(minutes=LONGEST_MIN)
        )

    def with_last_outcome(self) -> Self:
        """Each with `last_outcome` of its go-or-stay decisions, None where there is none."""
        last = Decision.objects.filter(drill=models.OuterRef("pk")).order_by("-decided_at", "-id")
        return self.annotate(last_outcome=models.Subquery(last.values("outcome")[:1]))

    def between(self, first: datetime, last: datetime) -> Self:
        """Those that start within two aware instants, in the order they are held."""
        return self.filter(starts_at__gte=first, starts_at__lt=last).order_by("starts_at", "id")

    def today(self, now: datetime) -> list["Drill"]:
        """Those held on the date that it is at their own site."""
        # No two zones are more than 26 hours apart, and a date lasts 25 hours at most.
        near = self.between(now - timedelta(hours=50), now + timedelta(hours=50))
        return [drill for drill in near if drill.is_today(now)]

    def not_over(self, now: datetime) -> Self:
        """Those that have not ended, the next one first."""
        coming = models.Q(starts_at__gte=now) | models.Q(pk__in=self._running(now))
        return self.filter(coming).order_by("starts_at", "id")

    def over(self, now: datetime) -> Self:
        """Those that have ended, the last one first."""
        past = self.filter(starts_at__lt=now).exclude(pk__in=self._running(now))
        return past.order_by("-starts_at", "id")

    def _running(self, now: datetime) -> list[int]:
        # The longest a drill may last is a day: only those begun within one need a closer look.
        begun = self.between(now - timedelta(minutes=LONGEST_MIN), now)
        return [drill.pk for drill in begun if not drill.is_over(now)]


class DrillManager(models.Manager.from_queryset(DrillQuerySet)):
    """Drills that are held with a cohort. What students practise alone is in none of the lists."""

    use_in_migrations = False

    def get_queryset(self):
        return super().get_queryset().filter(practised_by=None)


class Drill(models.Model):
    """An exercise held at a site at an hour with a cohort, or practised there by one student."""

    cohort = models.ForeignKey(Cohort, models.CASCADE, related_name="drills")
    exercise = models.ForeignKey("coursework.Exercise", models.PROTECT, related_name="drills")
    site = models.ForeignKey("coursework.Site", models.PROTECT, related_name="drills")
    starts_at = models.DateTimeField(_("start"))
    minutes = models.PositiveSmallIntegerField(
        _("length"),
        default=60,
        validators=[MinValueValidator(5), MaxValueValidator(LONGEST_MIN)],
        help_text=_("Minutes."),
    )
    assessed = models.BooleanField(
        _("assessed"),
        default=True,
        help_text=_("Whether its results count; practice is scored and shown all the same."),
    )
    lead = models.ForeignKey(
        "coursework.Person",
        models.SET_NULL,
        null=True,
        blank=True,
        related_name="drills_led",
        verbose_name=_("lead"),
    )
    assistants = models.ManyToManyField(
        "coursework.Person",
        blank=True,
        related_name="drills_assisted",
        verbose_name=_("assistants"),
    )
    groups = models.ManyToManyField(
        "coursework.Group",
        blank=True,
        related_name="drills",
        verbose_name=_("groups"),
        help_text=_("None ticked: the whole cohort."),
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
    cancelled_at = models.DateTimeField(_("cancelled"), null=True, blank=True, editable=False)
    cancel_reason = models.CharField(_("why it is cancelled"), max_length=300, blank=True)
    key = models.UUIDField(
        default=uuid.uuid4, unique=True, editable=False, help_text=_("The same in every calendar.")
    )
    sequence = models.PositiveIntegerField(default=0, editable=False)
    changed_at = models.DateTimeField(default=timezone.now, editable=False)
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
    def local_start(self) -> datetime:
        """The start by the clock of the site."""
        return self.starts_at.astimezone(self.site.zone_info)

    @property
    def local_end(self) -> datetime:
        return self.ends_at.astimezone(self.site.zone_info)

    @property
    def ends_at(self) -> datetime:
        return self.starts_at + timedelta(minutes=self.minutes)

    @property
    def is_cancelled(self) -> bool:
        return self.cancelled_at is not None

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

    def runs_between(self, first: datetime, last: datetime) -> bool:
        """Whether any of it falls between two instants; touching them does not count."""
        return self.starts_at < last and self.ends_at > first

    def is_today(self, now: datetime) -> bool:
        """Whether it starts on the date that it is at its site at an aware instant."""
        return self.local_start.date() == now.astimezone(self.site.zone_info).date()

    def is_over(self, now: datetime) -> bool:
        return self.ends_at <= now
