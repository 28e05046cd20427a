"""What drills and planned lessons have alike: held with a cohort, at an hour, by named people."""

import uuid
from datetime import datetime, timedelta
from typing import Self
from zoneinfo import ZoneInfo

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

LONGEST_MIN = 1440


class BookingQuerySet(models.QuerySet):
    def with_people(self) -> Self:
        """Each with its lead, assistants and groups, in two queries for all."""
        return self.select_related("lead").prefetch_related("assistants", "groups")

    def going_ahead(self) -> Self:
        return self.filter(cancelled_at=None)

    def overlapping(self, starts_at: datetime, ends_at: datetime) -> Self:
        """Those that may run between two instants: `Booking.runs_between` is exact."""
        return self.filter(
            starts_at__lt=ends_at, starts_at__gt=starts_at - timedelta(minutes=LONGEST_MIN)
        )

    def between(self, first: datetime, last: datetime) -> Self:
        """Those that start within two aware instants, in the order they are held."""
        return self.filter(starts_at__gte=first, starts_at__lt=last).order_by("starts_at", "id")

    def today(self, now: datetime) -> list:
        """Those held on the date that it is by their own clock."""
        # No two zones are more than 26 hours apart, and a date lasts 25 hours at most.
        near = self.between(now - timedelta(hours=50), now + timedelta(hours=50))
        return [booking for booking in near if booking.is_today(now)]

    def not_over(self, now: datetime) -> Self:
        """Those that have not ended, the next one first."""
        coming = models.Q(starts_at__gte=now) | models.Q(pk__in=self._running(now))
        return self.filter(coming).order_by("starts_at", "id")

    def over(self, now: datetime) -> Self:
        """Those that have ended, the last one first."""
        past = self.filter(starts_at__lt=now).exclude(pk__in=self._running(now))
        return past.order_by("-starts_at", "id")

    def _running(self, now: datetime) -> list[int]:
        # The longest one may last is a day: only those begun within one need a closer look.
        begun = self.between(now - timedelta(minutes=LONGEST_MIN), now)
        return [booking.pk for booking in begun if not booking.is_over(now)]


class Booking(models.Model):
    """Has a cohort, and says its `title`, `place_name` and `zone`. `ref` tells all apart."""

    starts_at = models.DateTimeField(_("start"))
    minutes = models.PositiveSmallIntegerField(
        _("length"),
        default=60,
        validators=[MinValueValidator(5), MaxValueValidator(LONGEST_MIN)],
        help_text=_("Minutes."),
    )
    lead = models.ForeignKey(
        "coursework.Person",
        models.SET_NULL,
        null=True,
        blank=True,
        related_name="%(class)ss_led",
        verbose_name=_("lead"),
    )
    assistants = models.ManyToManyField(
        "coursework.Person",
        blank=True,
        related_name="%(class)ss_assisted",
        verbose_name=_("assistants"),
    )
    groups = models.ManyToManyField(
        "coursework.Group",
        blank=True,
        related_name="%(class)ss",
        verbose_name=_("groups"),
        help_text=_("None ticked: the whole cohort."),
    )
    cancelled_at = models.DateTimeField(_("cancelled"), null=True, blank=True, editable=False)
    cancel_reason = models.CharField(_("why it is cancelled"), max_length=300, blank=True)
    key = models.UUIDField(
        default=uuid.uuid4, unique=True, editable=False, help_text=_("The same in every calendar.")
    )
    sequence = models.PositiveIntegerField(default=0, editable=False)
    changed_at = models.DateTimeField(default=timezone.now, editable=False)

    is_lesson = False

    class Meta:
        abstract = True

    @property
    def zone_info(self) -> ZoneInfo:
        return ZoneInfo(self.zone)

    @property
    def local_start(self) -> datetime:
        """The start by the clock of the place."""
        return self.starts_at.astimezone(self.zone_info)

    @property
    def local_end(self) -> datetime:
        return self.ends_at.astimezone(self.zone_info)

    @property
    def ends_at(self) -> datetime:
        return self.starts_at + timedelta(minutes=self.minutes)

    @property
    def is_cancelled(self) -> bool:
        return self.cancelled_at is not None

    def runs_between(self, first: datetime, last: datetime) -> bool:
        """Whether any of it falls between two instants; touching them does not count."""
        return self.starts_at < last and self.ends_at > first

    def is_today(self, now: datetime) -> bool:
        """Whether it starts on the date that it is at its place at an aware instant."""
        return self.local_start.date() == now.astimezone(self.zone_info).date()

    def is_over(self, now: datetime) -> bool:
        return self.ends_at <= now
