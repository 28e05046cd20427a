"""What lines are checked with, and how each was itself checked against a surveyed mark."""

from datetime import date, timedelta
from functools import cached_property
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

USUAL_INTERVAL_DAYS = 365


class InstrumentQuerySet(models.QuerySet):
    def in_use(self) -> Self:
        return self.filter(retired_at=None)

    def most_urgent_first(self) -> Self:
        """Never checked, then by the day the next check is due; the retired ones last."""
        due = models.F("due_on").asc(nulls_first=True)
        retired = models.F("retired_at").asc(nulls_first=True)
        return self.order_by(retired, due, "label", "id")

    def overdue(self, today: date) -> Self:
        """In use, and never checked or not checked again in time."""
        return self.in_use().filter(models.Q(due_on=None) | models.Q(due_on__lt=today))

    def checked_in_time(self, today: date) -> Self:
        return self.in_use().filter(due_on__gte=today)


class Instrument(models.Model):
    """A compass or a protractor of the school, with what is known of its errors.

    `correction_deg` and `reading_u_deg` are those of its last check where it has one.
    """

    class Kind(models.TextChoices):
        COMPASS = "compass", _("compass")
        PROTRACTOR = "protractor", _("protractor")

    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="instruments")
    label = models.CharField(_("number or mark"), max_length=40)
    kind = models.CharField(_("kind"), max_length=20, choices=Kind, default=Kind.COMPASS)
    correction_deg = models.FloatField(
        _("correction"),
        default=0.0,
        validators=[MinValueValidator(-180.0), MaxValueValidator(180.0)],
        help_text=_("Degrees to add to what it reads; to the right is positive."),
    )
    reading_u_deg = models.FloatField(
        _("standard uncertainty of a reading"),
        default=1.5,
        validators=[MinValueValidator(0.0), MaxValueValidator(45.0)],
    )
    check_interval_days = models.PositiveSmallIntegerField(
        _("days between checks"),
        default=USUAL_INTERVAL_DAYS,
        validators=[MinValueValidator(1), MaxValueValidator(3660)],
    )
    due_on = models.DateField(
        _("next check due"),
        null=True,
        editable=False,
        help_text=_("The last check and the days between checks; none where never checked."),
    )
    retired_at = models.DateTimeField(_("retired"), null=True, editable=False)

    objects = InstrumentQuerySet.as_manager()

    class Meta:
        verbose_name = _("instrument")
        verbose_name_plural = _("instruments")
        ordering = ["label", "id"]
        constraints = [
            models.UniqueConstraint(fields=["school", "label"], name="instrument_once_a_school")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.label}"

    @property
    def is_retired(self) -> bool:
        return self.retired_at is not None

    @cached_property
    def last_check(self) -> "InstrumentCheck | None":
        return self.checks.last_first().first() if self.pk else None

    def is_overdue(self, today: date) -> bool:
        """Whether a line should not be checked with it before it is checked itself."""
        return not self.is_retired and (self.due_on is None or self.due_on < today)

    def follow_checks(self) -> None:
        """Take correction, uncertainty and due date from the last check, and save."""
        self.__dict__.pop("last_check", None)
        last = self.last_check
        self.due_on = None
        if last is not None:
            self.correction_deg, self.reading_u_deg = last.correction_deg, last.reading_u_deg
            self.due_on = last.checked_on + timedelta(days=self.check_interval_days)
        self.save()

    def state_on(self, day: date) -> dict[str, str | bool]:
        """Whether it had been checked in time on a day: facts that a result keeps.

        Dates as ISO text, '' where there is none.
        """
        days = [checked_on for checked_on in self._days_checked if checked_on <= day]
        if not days:
            return {"checked_on": "", "due_on": "", "overdue": True}
        due_on = max(days) + timedelta(days=self.check_interval_days)
        return {
            "checked_on": max(days).isoformat(),
            "due_on": due_on.isoformat(),
            "overdue": due_on < day,
        }

    @cached_property
    def _days_checked(self) -> list[date]:
        return list(self.checks.order_by().values_list("checked_on", flat=True))


class InstrumentCheckQuerySet(models.QuerySet):
    def last_first(self) -> Self:
        """One entered later for the same instant stands for the earlier one."""
        return self.order_by("-checked_at", "-id")


class InstrumentCheck(models.Model):
    """An instrument held against a surveyed mark: what it read, and what follows from that.

    What it was compared with is kept as it was that day. For a compass the readings are of one
    mark; for a protractor they are of the angle from one mark to another, and as its readings
    are not corrected, what it was off counts in its uncertainty. Angles are degrees.
    """

    instrument = models.ForeignKey(Instrument, models.PROTECT, related_name="checks")
    site = models.ForeignKey("coursework.Site", models.PROTECT, related_name="instrument_checks")
    mark_name = models.CharField(_("reference mark"), max_length=120)
    mark_bearing_deg = models.FloatField(_("true bearing of the mark"))
    from_mark_name = models.CharField(_("angle taken from"), max_length=120, blank=True)
    from_bearing_deg = models.FloatField(
        _("true bearing of the mark taken from"), null=True, blank=True
    )
    checked_at = models.DateTimeField(_("checked"))
    checked_on = models.DateField(_("day of the check"), help_text=_("At the site."))
    readings_deg = models.JSONField(_("readings"))
    resolution_deg = models.FloatField(_("read to the nearest"))
    declination_deg = models.FloatField(_("declination used"), null=True, blank=True)
    declination_u_deg = models.FloatField(
        _("uncertainty of the declination"), null=True, blank=True
    )
    magnetic_model = models.CharField(_("magnetic model"), max_length=40, blank=True)
    offset_deg = models.FloatField(_("true angle less mean reading"))
    scatter_deg = models.FloatField(_("standard deviation of the readings"))
    correction_deg = models.FloatField(_("correction"))
    correction_u_deg = models.FloatField(_("standard uncertainty of the correction"))
    reading_u_deg = models.FloatField(_("standard uncertainty of a reading"))
    remark = models.CharField(_("remark"), max_length=300, blank=True)
    checked_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = InstrumentCheckQuerySet.as_manager()

    class Meta:
        verbose_name = _("check of an instrument")
        verbose_name_plural = _("checks of instruments")
        ordering = ["instrument", "checked_at", "id"]

    def __str__(self) -> str:
        return f"{self.instrument}, {self.checked_on}"

    @property
    def count(self) -> int:
        return len(self.readings_deg)
