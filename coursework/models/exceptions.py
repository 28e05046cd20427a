"""Conflicts of a planned drill or lesson that somebody took on, with the reason. Never changed."""

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class TakenOn(models.Model):
    """One conflict of a plan, held all the same. `key` names the conflict and its facts.

    Where the facts change (another hour, another person) the key does, and it stands no more.
    """

    key = models.CharField(max_length=200, editable=False)
    sentence = models.TextField(_("conflict"), editable=False)
    reason = models.TextField(_("reason"), max_length=600)
    by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        abstract = True
        verbose_name = _("exception in planning")
        verbose_name_plural = _("exceptions in planning")
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return self.sentence


class PlanException(TakenOn):
    """One of a drill."""

    drill = models.ForeignKey("coursework.Drill", models.CASCADE, related_name="plan_exceptions")


class LessonException(TakenOn):
    """One of a planned lesson."""

    planned_lesson = models.ForeignKey(
        "coursework.PlannedLesson", models.CASCADE, related_name="plan_exceptions"
    )

    class Meta(TakenOn.Meta):
        verbose_name = _("exception in planning of a lesson")
        verbose_name_plural = _("exceptions in planning of lessons")
