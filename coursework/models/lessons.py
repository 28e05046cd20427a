"""Lessons of a course version, in their order, and who was at them."""

import re
from dataclasses import dataclass
from typing import Self

from django.core.validators import MaxLengthValidator, MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from coursework.models.parts import CoursePart

LONGEST_TEXT = 20_000
# A heading of the outline that says how long its part takes: "## Set up the stick (10 min)".
_TIMED_HEADING = re.compile(r"^#{1,6}\s+(?P<title>.*?)\s*\((?P<minutes>\d{1,4})\s*min\)\s*#*\s*$")


def lines_of(text: str) -> list[str]:
    """The lines of a text that say something, in order."""
    return [line.strip() for line in text.splitlines() if line.strip()]


@dataclass(frozen=True)
class Part:
    """One timed part of a lesson; `starts_min` counts from the lesson's start."""

    title: str
    starts_min: int
    minutes: int


class Lesson(CoursePart):
    """One lesson plan. `minutes` is its whole length; texts other than the outline are lists."""

    objectives = models.TextField(
        _("objectives"),
        blank=True,
        validators=[MaxLengthValidator(LONGEST_TEXT)],
        help_text=_("What students can do afterwards, one a line."),
    )
    minutes = models.PositiveSmallIntegerField(
        _("length"),
        default=60,
        validators=[MinValueValidator(5), MaxValueValidator(1440)],
        help_text=_("Minutes, breaks counted."),
    )
    outline = models.TextField(
        _("outline"),
        blank=True,
        validators=[MaxLengthValidator(LONGEST_TEXT)],
        help_text=_(
            "In Markdown. A heading that ends in its time, such as “## Lay the line (15 min)”, "
            "stands in the timing of the printed plan."
        ),
    )
    kit = models.TextField(
        _("kit"),
        blank=True,
        validators=[MaxLengthValidator(LONGEST_TEXT)],
        help_text=_("What to bring, one a line."),
    )
    references = models.TextField(
        _("references"),
        blank=True,
        validators=[MaxLengthValidator(LONGEST_TEXT)],
        help_text=_("Where it is written up, one a line."),
    )
    cautions = models.TextField(
        _("cautions"),
        blank=True,
        validators=[MaxLengthValidator(LONGEST_TEXT)],
        help_text=_("What can hurt someone, and what is done about it, one a line."),
    )
    prerequisites = models.ManyToManyField(
        "self",
        symmetrical=False,
        blank=True,
        related_name="needed_by",
        verbose_name=_("lessons that come before"),
    )

    class Meta(CoursePart.Meta):
        verbose_name = _("lesson")
        verbose_name_plural = _("lessons")

    @property
    def objective_list(self) -> list[str]:
        return lines_of(self.objectives)

    @property
    def kit_list(self) -> list[str]:
        return lines_of(self.kit)

    @property
    def reference_list(self) -> list[str]:
        return lines_of(self.references)

    @property
    def caution_list(self) -> list[str]:
        return lines_of(self.cautions)

    @property
    def timing(self) -> list[Part]:
        """The parts of the outline that say how long they take, one after the other."""
        parts: list[Part] = []
        for line in self.outline.splitlines():
            if found := _TIMED_HEADING.match(line):
                starts_min = sum(part.minutes for part in parts)
                parts.append(Part(found["title"], starts_min, int(found["minutes"])))
        return parts

    @property
    def untimed_min(self) -> int:
        """Minutes that its timed parts leave; negative where they take longer than the lesson."""
        return self.minutes - sum(part.minutes for part in self.timing)

    @property
    def overrun_min(self) -> int:
        """Minutes that its timed parts take longer than the lesson; 0 where they do not."""
        return max(0, -self.untimed_min)


class AttendanceQuerySet(models.QuerySet):
    def standing(self) -> Self:
        """The last mark of each person at each lesson of a cohort: the one that counts."""
        later = Attendance.objects.filter(
            cohort=models.OuterRef("cohort"),
            lesson_key=models.OuterRef("lesson_key"),
            person=models.OuterRef("person"),
            pk__gt=models.OuterRef("pk"),
        )
        return self.filter(~models.Exists(later))


class Attendance(models.Model):
    """That someone was marked present at a lesson, or absent. A later mark stands over it.

    `lesson` is the lesson as it stood; `lesson_key` finds it again in later versions.
    """

    cohort = models.ForeignKey("coursework.Cohort", models.CASCADE, related_name="attendance")
    lesson = models.ForeignKey(Lesson, models.PROTECT, related_name="attendance")
    lesson_key = models.UUIDField(editable=False)
    person = models.ForeignKey("coursework.Person", models.PROTECT, related_name="attendance")
    present = models.BooleanField(_("present"))
    marked_by = models.ForeignKey(
        "coursework.Person", models.PROTECT, related_name="+", verbose_name=_("marked by")
    )
    marked_at = models.DateTimeField(_("marked"), default=timezone.now)

    objects = AttendanceQuerySet.as_manager()

    class Meta:
        verbose_name = _("attendance")
        verbose_name_plural = _("attendance")
        ordering = ["cohort", "lesson_key", "person", "id"]
        indexes = [models.Index(fields=["cohort", "lesson_key", "person"])]

    def __str__(self) -> str:
        return f"{self.person}, {self.lesson}"
