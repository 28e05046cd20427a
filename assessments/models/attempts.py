"""Attempts. Evidence is never overwritten: a correction is one more revision."""

import uuid

from django.db import models
from django.utils.translation import gettext_lazy as _


class Verdict(models.TextChoices):
    """The values are those of the batch file's `verdict` column."""

    WITHIN = "within", _("within")
    OUTSIDE = "outside", _("outside")
    CLOSE = "too close to call", _("too close to call")


class Attempt(models.Model):
    """One student's go at one drill. What was measured stands in its revisions."""

    key = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    drill = models.ForeignKey("coursework.Drill", models.PROTECT, related_name="attempts")
    student = models.ForeignKey("coursework.Person", models.PROTECT, related_name="attempts")
    assessed = models.BooleanField(_("assessed"), editable=False)
    created_at = models.DateTimeField(auto_now_add=True)
    current = models.OneToOneField(
        "assessments.Revision", models.PROTECT, null=True, editable=False, related_name="+"
    )

    class Meta:
        verbose_name = _("attempt")
        verbose_name_plural = _("attempts")
        ordering = ["-created_at", "-id"]
        indexes = [models.Index(fields=["student", "-created_at"])]

    def __str__(self) -> str:
        return f"{self.student}, {self.drill}"


class Revision(models.Model):
    """What was observed and checked, as recorded at one moment, with the score it got then.

    `inputs` is one row of the batch format (column name to text): place, skyline, times,
    standard and check are all in it, so the score can be worked out again from this row
    alone. The stored score is never replaced; recomputing shows a difference.
    Angles are degrees; errors are positive to the right.
    """

    attempt = models.ForeignKey(Attempt, models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField(_("revision"))
    recorded_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)
    reason = models.CharField(_("reason for the correction"), max_length=300, blank=True)

    inputs = models.JSONField()
    observed_at = models.DateTimeField(_("observed"), help_text=_("The last recorded time."))
    instrument = models.ForeignKey(
        "coursework.Instrument", models.PROTECT, null=True, blank=True, related_name="+"
    )
    facts = models.JSONField(
        default=dict,
        help_text=_(
            "Names as they stood: site, exercise, task, steps, reference mark, instrument."
        ),
    )
    steps_met = models.JSONField(default=list, blank=True)
    sky = models.CharField(_("sky"), max_length=120, blank=True)
    ground = models.CharField(_("ground"), max_length=120, blank=True)
    remark = models.TextField(_("remark"), blank=True)

    laid_true_deg = models.FloatField(_("laid line, true"))
    error_deg = models.FloatField(_("result error"))
    method_error_deg = models.FloatField(_("method error"))
    own_error_deg = models.FloatField(_("own error"))
    counting_error_deg = models.FloatField(_("counting error"), null=True)
    correction_error_deg = models.FloatField(_("correction error"), null=True)
    marking_scatter_deg = models.FloatField(_("marking scatter"), null=True)
    expanded_uncertainty_deg = models.FloatField(_("expanded uncertainty"))
    verdict = models.CharField(_("verdict"), max_length=20, choices=Verdict)
    sun_azimuth_deg = models.FloatField(_("sun's azimuth"))
    sun_elevation_deg = models.FloatField(_("sun's elevation"))
    declination_used_deg = models.FloatField(_("declination used"), null=True)
    drawing = models.JSONField(
        help_text=_("Bearings and lengths of the drawing, as computed with the score.")
    )
    engine = models.CharField(_("engine"), max_length=40)
    magnetic_model = models.CharField(_("magnetic model"), max_length=40, blank=True)

    class Meta:
        verbose_name = _("revision")
        verbose_name_plural = _("revisions")
        ordering = ["attempt", "number"]
        constraints = [
            models.UniqueConstraint(fields=["attempt", "number"], name="revision_once_an_attempt")
        ]

    def __str__(self) -> str:
        return f"{self.attempt}, revision {self.number}"
