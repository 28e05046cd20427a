"""Runs that make the packets of a cohort in the background: who asked, how far, what failed."""

from datetime import datetime, timedelta
from typing import Self

from django.db import models
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

SILENT_AFTER = timedelta(seconds=60)
"""A run that was not heard of for so long has lost its worker."""
FILES_KEPT = timedelta(days=14)


class PacketRunQuerySet(models.QuerySet):
    def unfinished(self) -> Self:
        return self.filter(state__in=PacketRun.UNFINISHED)

    def keeping_files(self, now: datetime) -> Self:
        """Those that go on, or whose files, or what is left to go on from, are not old yet."""
        return self.filter(
            models.Q(state__in=PacketRun.UNFINISHED)
            | models.Q(files_until__gt=now)
            | models.Q(files_until=None, finished_at__gt=now - FILES_KEPT)
        )


class PacketRun(models.Model):
    """One run over a cohort. Its rows say what became of each student; its files lie in the
    data folder and are deleted at `files_until`."""

    class State(models.TextChoices):
        WAITING = "waiting", _("waiting for a worker")
        WORKING = "working", _("at work")
        DONE = "done", _("finished")
        CANCELLED = "cancelled", _("cancelled")
        FAILED = "failed", _("stopped by a fault")

    UNFINISHED = (State.WAITING, State.WORKING)

    certification = models.ForeignKey(
        "assessments.Certification", models.PROTECT, related_name="runs"
    )
    cohort = models.ForeignKey("coursework.Cohort", models.CASCADE, related_name="packet_runs")
    asked_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now, editable=False)
    paper = models.CharField(
        _("paper"), max_length=10, choices=[("a4", _("A4")), ("letter", _("Letter"))], default="a4"
    )
    check_address = models.URLField(help_text=_("Where certificates are checked."))
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    worker = models.CharField(max_length=40, blank=True, help_text=_("Who has it in hand."))
    heard_at = models.DateTimeField(default=timezone.now, editable=False)
    cancel_asked_at = models.DateTimeField(null=True, blank=True, editable=False)
    finished_at = models.DateTimeField(null=True, blank=True, editable=False)
    files_until = models.DateTimeField(null=True, blank=True, editable=False)
    fault = models.TextField(blank=True)

    objects = PacketRunQuerySet.as_manager()

    class Meta:
        verbose_name = _("run of packets")
        verbose_name_plural = _("runs of packets")
        ordering = ["-asked_at", "-id"]
        constraints = [
            models.UniqueConstraint(
                fields=["certification", "cohort"],
                condition=models.Q(state__in=["waiting", "working"]),
                name="one_unfinished_packet_run",
                violation_error_message=_("The packets of this cohort are being made already."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.certification}, {self.cohort}"

    def get_absolute_url(self) -> str:
        return reverse("packet-run", args=[self.pk])

    @property
    def is_unfinished(self) -> bool:
        return self.state in self.UNFINISHED

    def is_silent(self, now: datetime) -> bool:
        """Whether it should be going on and was not heard of for a while."""
        return self.is_unfinished and now - self.heard_at > SILENT_AFTER

    def may_resume(self, now: datetime) -> bool:
        return self.state in (self.State.CANCELLED, self.State.FAILED) or self.is_silent(now)

    def has_files(self, now: datetime) -> bool:
        return self.files_until is not None and self.files_until > now


class PacketRunRow(models.Model):
    """One student of a run, and what came of it."""

    class State(models.TextChoices):
        WAITING = "waiting", _("to be done")
        ISSUED = "issued", _("issued in this run")
        HELD = "held", _("issued before")
        NOT_READY = "not ready", _("not ready")
        LEFT_OUT = "left out", _("left out")

    run = models.ForeignKey(PacketRun, models.CASCADE, related_name="rows")
    student = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    family_name = models.CharField(_("family name"), max_length=120, blank=True)
    state = models.CharField(max_length=10, choices=State, default=State.WAITING)
    packet = models.ForeignKey(
        "assessments.Packet", models.PROTECT, null=True, blank=True, related_name="+"
    )
    made = models.BooleanField(default=False, help_text=_("Whether its file is written."))
    reasons = models.JSONField(default=list, help_text=_("Sentences: why there is none."))

    class Meta:
        verbose_name = _("student of a run")
        verbose_name_plural = _("students of a run")
        ordering = ["run", "student__name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["run", "student"], name="student_once_a_run"),
            models.UniqueConstraint(
                fields=["packet"],
                condition=models.Q(state="issued"),
                name="packet_issued_by_one_run",
            ),
        ]

    def __str__(self) -> str:
        return str(self.student)
