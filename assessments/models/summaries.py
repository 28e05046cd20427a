"""Sums over one student's results at one exercise, so that pages over many need not read them."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from coursework.models import Method


class RecordSummary(models.Model):
    """What a cohort's pages need of one student's results at one exercise of the cohort.

    Made again from the results themselves by `assessments.records.summaries.follow` whenever a
    score is stored. `exercise_key` is the same in every version of the course. What a student
    logged alone is counted in `practised` and is in nothing else.
    """

    cohort = models.ForeignKey("coursework.Cohort", models.CASCADE, related_name="+")
    student = models.ForeignKey("coursework.Person", models.CASCADE, related_name="+")
    exercise_key = models.UUIDField()
    method = models.CharField(max_length=20, choices=Method)
    count = models.PositiveIntegerField(default=0)
    practised = models.PositiveIntegerField(default=0)
    swapped = models.PositiveIntegerField(default=0)
    last_at = models.DateTimeField(null=True)
    outcomes = models.JSONField(default=dict, help_text=_("Assessed results by verdict."))
    kept = models.JSONField(default=list, help_text=_("Facts that a standard is held against."))
    own_sums = models.JSONField(default=list, help_text=_("Sums over own errors: see Moments."))
    checks = models.JSONField(default=list, help_text=_("Sums of own errors by assessor and tool."))
    margins = models.JSONField(
        default=dict, help_text=_("Assessed results by the tolerance from which they are within.")
    )
    clear_margins = models.JSONField(
        default=dict, help_text=_("Assessed results by the tolerance up to which they are outside.")
    )

    class Meta:
        verbose_name = _("summary of results")
        verbose_name_plural = _("summaries of results")
        constraints = [
            models.UniqueConstraint(
                fields=["cohort", "student", "exercise_key", "method"],
                name="one_summary_of_results",
            )
        ]

    def __str__(self) -> str:
        return f"{self.student}, {self.method}"
