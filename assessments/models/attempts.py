"""Attempts. Evidence is never overwritten: a correction is one more revision."""

import uuid

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from coursework.models import Method

NO_RESULT = "no result"
CURRENT = ("current", "observed_at")
"""What `Attempt.take` changes."""
NEWEST_FIRST = ("-observed_at", "-id")


class AttemptQuerySet(models.QuerySet):
    """Filters over attempts. Who may see which is decided in `assessments.policies`."""

    def with_scores(self) -> "AttemptQuerySet":
        """Loads what a line of a list shows, in the same one query, latest observation first."""
        return self.select_related("current", "student", "exercise", "drill__site").order_by(
            *NEWEST_FIRST
        )

    def for_lines(self, *more: str) -> "AttemptQuerySet":
        """As `with_scores`, with no more of each than a line of a list shows.

        `more` are further columns of the score.
        """
        of_score = ("inputs", "observed_at", "no_result", "remark", "verdict", "results",
                    "error_deg", "method_error_deg", "own_error_deg",
                    "score_value", "score_unit", "score_side")  # fmt: skip
        return (
            self.select_related("current", "student", "exercise")
            .only(
                "key",
                "assessed",
                "student__name",
                "exercise__title",
                *[f"current__{name}" for name in (*of_score, *more)],
            )
            .order_by(*NEWEST_FIRST)
        )

    def narrowed(self, *, student=None, exercise=None, method="", verdict="") -> "AttemptQuerySet":
        """Those of a student, of an exercise, by a method, with a verdict; blank takes all.

        For a verdict also `NO_RESULT`, or "no result: " and one reason of `NoResult` for that.
        """
        wanted = {
            "student": student,
            "exercise": exercise,
            "method": method,
        }
        reason = verdict.removeprefix(f"{NO_RESULT}: ")
        if verdict == NO_RESULT:
            return self._narrowed(wanted).exclude(current__no_result="")
        wanted["current__no_result" if reason != verdict else "current__verdict"] = reason
        return self._narrowed(wanted)

    def _narrowed(self, wanted: dict) -> "AttemptQuerySet":
        return self.filter(**{name: value for name, value in wanted.items() if value})


class Attempt(models.Model):
    """One student's go at one drill. What was measured stands in its revisions.

    Exercise and method are kept here as they were: a drill may later be put to another one.
    """

    key = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    drill = models.ForeignKey("coursework.Drill", models.PROTECT, related_name="attempts")
    exercise = models.ForeignKey("coursework.Exercise", models.PROTECT, related_name="attempts")
    method = models.CharField(_("method"), max_length=20, choices=Method, editable=False)
    student = models.ForeignKey("coursework.Person", models.PROTECT, related_name="attempts")
    assessed = models.BooleanField(_("assessed"), editable=False)
    created_at = models.DateTimeField(default=timezone.now, editable=False)
    current = models.OneToOneField(
        "assessments.Revision", models.PROTECT, null=True, editable=False, related_name="+"
    )

    # That of the current revision, kept here so that a long list is read in its order.
    observed_at = models.DateTimeField(null=True, editable=False)

    objects = AttemptQuerySet.as_manager()

    class Meta:
        verbose_name = _("attempt")
        verbose_name_plural = _("attempts")
        ordering = ["-created_at", "-id"]
        indexes = [
            models.Index(fields=["student", "-created_at"]),
            models.Index(fields=["-observed_at", "-id"]),
            models.Index(fields=["student", "-observed_at", "-id"]),
        ]

    def __str__(self) -> str:
        return f"{self.student}, {self.exercise}"

    def get_absolute_url(self) -> str:
        return reverse("attempt-detail", args=[self.key])

    def take(self, revision: models.Model) -> None:
        """Make a revision the current one; both fields of `CURRENT` are to be saved."""
        self.current, self.observed_at = revision, revision.observed_at
