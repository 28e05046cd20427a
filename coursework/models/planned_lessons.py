"""Lessons of a course put into the calendar of a cohort."""

from typing import Self

from django.db import models
from django.utils.translation import gettext_lazy as _

from coursework.models.bookings import Booking, BookingQuerySet
from coursework.models.places import validate_zone


class PlannedLessonQuerySet(BookingQuerySet):
    def with_places(self) -> Self:
        """Each with what a line in a list says of it."""
        return self.select_related("lesson", "site", "cohort__course")

    def for_lines(self) -> Self:
        """As `with_places`, with their groups, which tell two of one lesson apart."""
        return self.with_places().prefetch_related("groups")


class PlannedLesson(Booking):
    """A lesson held with a cohort at an hour: at a site, or at a place in words, or both.

    `place_zone` is the clock it goes by where no site is named.
    """

    cohort = models.ForeignKey("coursework.Cohort", models.CASCADE, related_name="planned_lessons")
    lesson = models.ForeignKey(
        "coursework.Lesson", models.PROTECT, related_name="planned", verbose_name=_("lesson")
    )
    site = models.ForeignKey(
        "coursework.Site",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="planned_lessons",
        verbose_name=_("site"),
    )
    place = models.CharField(_("place"), max_length=120, blank=True)
    place_zone = models.CharField(
        _("clock"), max_length=64, default="UTC", validators=[validate_zone]
    )
    note = models.CharField(_("note"), max_length=600, blank=True)

    objects = PlannedLessonQuerySet.as_manager()

    is_lesson = True

    class Meta:
        verbose_name = _("planned lesson")
        verbose_name_plural = _("planned lessons")
        ordering = ["-starts_at", "id"]
        indexes = [models.Index(fields=["cohort", "starts_at"])]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(site__isnull=False) | ~models.Q(place=""),
                name="planned_lesson_has_a_place",
                violation_error_message=_("Say where it is held: a site, or a place in words."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.lesson}, {self.place_name}"

    @property
    def title(self) -> str:
        return self.lesson.title

    @property
    def place_name(self) -> str:
        return ", ".join(part for part in (self.site and self.site.name, self.place) if part)

    @property
    def zone(self) -> str:
        return self.site.zone if self.site else self.place_zone

    @property
    def ref(self) -> str:
        return f"l{self.pk}"
