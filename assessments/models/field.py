"""What comes in from devices in the field, kept as it came: rows are added and never changed."""

import uuid

from django.core.validators import MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class FieldDevice(models.Model):
    """One device in one person's hands; how long ago it was heard is shown to the others."""

    key = models.UUIDField(default=uuid.uuid4)
    person = models.ForeignKey(
        "coursework.Person", models.CASCADE, related_name="field_devices", editable=False
    )
    first_heard_at = models.DateTimeField(default=timezone.now, editable=False)
    last_heard_at = models.DateTimeField(default=timezone.now)
    offset_ms = models.BigIntegerField(
        _("clock"), default=0, help_text=_("Server less device, milliseconds, when last heard.")
    )
    waiting = models.PositiveIntegerField(
        _("waiting"), default=0, help_text=_("Results and headcounts not sent yet, as it said.")
    )

    class Meta:
        verbose_name = _("device")
        verbose_name_plural = _("devices")
        ordering = ["-last_heard_at", "id"]
        constraints = [
            models.UniqueConstraint(fields=["key", "person"], name="device_once_a_person")
        ]

    def __str__(self) -> str:
        return f"{self.person}, {str(self.key)[:4].upper()}"


class Arrival(models.Model):
    """How a result came in from a device: when it was made by which clock, and when it came.

    `digest` is that of what was sent, so that the same key with other content is noticed.
    """

    attempt = models.OneToOneField(
        "assessments.Attempt", models.CASCADE, related_name="arrival", editable=False
    )
    device = models.UUIDField(editable=False)
    made_at = models.DateTimeField(help_text=_("By the device’s own clock."))
    offset_ms = models.BigIntegerField(
        null=True, help_text=_("Server less device, milliseconds; empty where it was not known.")
    )
    received_at = models.DateTimeField(default=timezone.now, editable=False)
    digest = models.CharField(max_length=64, editable=False)

    class Meta:
        verbose_name = _("arrival of a result")
        verbose_name_plural = _("arrivals of results")
        ordering = ["-received_at", "id"]

    def __str__(self) -> str:
        return f"{self.attempt}, {self.received_at:%Y-%m-%d %H:%M}"


class HeadcountEvent(models.Model):
    """One thing an instructor noted about who is out: who goes, who is back, when they are due.

    An outing is out until each of its students is noted back on that very outing. Nothing here
    depends on the order in which devices are heard or on their clocks, and of two that send the
    same student out, both have to be closed: a doubt leaves a student out.
    """

    class Kind(models.TextChoices):
        OUT = "out", _("out")
        BACK = "back", _("back")
        DUE = "due", _("due changed")
        COUNT = "count", _("counted")

    key = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    drill = models.ForeignKey("coursework.Drill", models.PROTECT, related_name="headcount_events")
    outing = models.UUIDField(null=True, blank=True, db_index=True)
    kind = models.CharField(max_length=5, choices=Kind)
    students = models.JSONField(default=list, help_text=_("Numbers of the students in the table."))
    due_at = models.DateTimeField(_("due back"), null=True, blank=True)
    number = models.PositiveSmallIntegerField(
        _("counted"), null=True, blank=True, validators=[MinValueValidator(0)]
    )
    noted_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    noted_at = models.DateTimeField(
        help_text=_("By the device’s clock, set right by what was known of it.")
    )
    device = models.UUIDField(editable=False)
    received_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        verbose_name = _("headcount entry")
        verbose_name_plural = _("headcount entries")
        ordering = ["noted_at", "id"]

    def __str__(self) -> str:
        return f"{self.drill}: {self.get_kind_display()}"


class LeadNote(models.Model):
    """A result that could not be stored as one and was handed to the lead as it was noted."""

    key = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="+")
    cohort = models.ForeignKey(
        "coursework.Cohort", models.SET_NULL, null=True, blank=True, related_name="+"
    )
    about = models.CharField(_("about"), max_length=300)
    said = models.JSONField(help_text=_("What was entered: pairs of label and text."))
    reason = models.CharField(_("why it is no result"), max_length=600)
    noted_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    received_at = models.DateTimeField(default=timezone.now, editable=False)
    settled_by = models.ForeignKey(
        "coursework.Person", models.PROTECT, null=True, blank=True, related_name="+"
    )
    settled_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("note for the lead")
        verbose_name_plural = _("notes for the lead")
        ordering = ["-received_at", "id"]

    def __str__(self) -> str:
        return self.about
