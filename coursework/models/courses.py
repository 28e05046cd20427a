"""Courses and their versions. A row is one version; rows of one lineage are one course."""

import uuid
from typing import Self

from django.core.validators import MinValueValidator
from django.db import models
from django.db.models.functions import Coalesce
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coursework.models.cohorts import Cohort
from coursework.models.curriculum import Exercise
from coursework.models.lessons import Lesson


def _count(rows: models.QuerySet) -> Coalesce:
    """How many rows a correlated query has, without joining them to each other."""
    number = rows.order_by().annotate(_all=models.Value(1)).values("_all")
    counted = number.annotate(number=models.Count("pk")).values("number")
    return Coalesce(models.Subquery(counted), 0)


class CourseQuerySet(models.QuerySet):
    def published(self) -> Self:
        return self.filter(published_at__isnull=False)

    def drafts(self) -> Self:
        return self.filter(published_at__isnull=True)

    def newest(self) -> Self:
        """The newest published version of each course."""
        newer = Course.objects.published().filter(
            lineage=models.OuterRef("lineage"), number__gt=models.OuterRef("number")
        )
        return self.published().filter(~models.Exists(newer))

    def taken_or_newest(self, taken: int) -> Self:
        """The newest published version of each course, and the one with the number `taken`."""
        newest = self.newest().order_by().values("pk")
        return self.filter(models.Q(pk__in=newest) | models.Q(pk=taken))

    def one_each(self) -> Self:
        """One row a course: its newest published version, or its draft where there is none.

        Each has `draft_pk`, the number of the draft of its next version, if any.
        """
        same = models.Q(lineage=models.OuterRef("lineage"))
        newer = self.published().filter(same, number__gt=models.OuterRef("number"))
        published = self.published().filter(same)
        rows = self.filter(
            models.Q(~models.Exists(newer), published_at__isnull=False)
            | models.Q(~models.Exists(published), published_at__isnull=True)
        )
        draft = self.drafts().filter(same).order_by().values("pk")[:1]
        return rows.annotate(draft_pk=models.Subquery(draft))

    def with_numbers(self) -> Self:
        """Each with `lesson_number`, `exercise_number`, and `cohort_number` of all versions."""
        return self.annotate(
            lesson_number=_count(Lesson.objects.filter(course=models.OuterRef("pk"))),
            exercise_number=_count(Exercise.objects.filter(course=models.OuterRef("pk"))),
            cohort_number=_count(Cohort.objects.filter(course__lineage=models.OuterRef("lineage"))),
        )


class Course(models.Model):
    """One version of a course. Published, it is frozen; a change makes the next version."""

    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="courses")
    lineage = models.UUIDField(
        default=uuid.uuid4, editable=False, help_text=_("The same for all versions of a course.")
    )
    number = models.PositiveSmallIntegerField(
        _("version"), default=1, editable=False, validators=[MinValueValidator(1)]
    )
    title = models.CharField(_("title"), max_length=120)
    summary = models.TextField(_("summary"), blank=True)
    change_note = models.TextField(
        _("what changed"), blank=True, help_text=_("Since the version before, for those who teach.")
    )
    published_at = models.DateTimeField(_("published"), null=True, blank=True, editable=False)
    published_by = models.ForeignKey(
        "coursework.Person",
        models.SET_NULL,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
        verbose_name=_("published by"),
    )

    objects = CourseQuerySet.as_manager()

    class Meta:
        verbose_name = _("course")
        verbose_name_plural = _("courses")
        ordering = ["title", "-number", "id"]
        constraints = [
            models.UniqueConstraint(fields=["lineage", "number"], name="course_version_once"),
            models.UniqueConstraint(
                fields=["lineage"],
                condition=models.Q(published_at__isnull=True),
                name="course_one_draft",
                violation_error_message=_("This course already has a draft of its next version."),
            ),
            models.UniqueConstraint(
                fields=["school", "title", "number"], name="course_once_a_school"
            ),
            models.CheckConstraint(
                condition=models.Q(number__gte=1), name="course_versions_count_from_one"
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def is_draft(self) -> bool:
        """Whether it may still be changed."""
        return self.published_at is None

    @property
    def version_in_words(self) -> str:
        words = (
            gettext("draft of version %(number)s")
            if self.is_draft
            else gettext("version %(number)s")
        )
        return words % {"number": self.number}

    @property
    def title_with_version(self) -> str:
        return f"{self.title} ({self.version_in_words})"

    @property
    def versions(self) -> CourseQuerySet:
        """All versions of this course, the newest first, this one among them."""
        return Course.objects.filter(lineage=self.lineage).order_by("-number")
