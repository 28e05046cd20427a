"""What the lessons and the exercises of a course version have alike."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _


class CoursePart(models.Model):
    """One of a course version, at its place in the order; its key outlives the version."""

    course = models.ForeignKey("coursework.Course", models.CASCADE, related_name="%(class)ss")
    key = models.UUIDField(
        default=uuid.uuid4, editable=False, help_text=_("The same in every version of a course.")
    )
    position = models.PositiveSmallIntegerField(_("position"), default=1)
    title = models.CharField(_("title"), max_length=120)

    class Meta:
        abstract = True
        ordering = ["course", "position", "id"]
        constraints = [
            models.UniqueConstraint(fields=["course", "title"], name="%(class)s_once_a_course"),
            models.UniqueConstraint(fields=["course", "key"], name="%(class)s_key_once_a_course"),
        ]

    def __str__(self) -> str:
        return self.title
