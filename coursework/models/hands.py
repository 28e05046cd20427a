"""What a hand covers at arm's length, measured for one person."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class HandMeasurement(models.Model):
    """One measurement of a hand. The newest one is what `Person.degrees_per_hand` says.

    Breadth and reach are blank where the degrees were measured in another way, and the degrees
    are blank where a measurement was taken back.
    """

    person = models.ForeignKey(
        "coursework.Person", models.CASCADE, related_name="hand_measurements"
    )
    breadth_cm = models.FloatField(
        _("breadth of the hand"),
        null=True,
        blank=True,
        validators=[MinValueValidator(3.0), MaxValueValidator(20.0)],
    )
    reach_cm = models.FloatField(
        _("reach from the eye"),
        null=True,
        blank=True,
        validators=[MinValueValidator(20.0), MaxValueValidator(120.0)],
    )
    degrees = models.FloatField(_("degrees a hand covers"), null=True, blank=True)
    measured_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    measured_at = models.DateTimeField(_("measured"), default=timezone.now, editable=False)

    class Meta:
        verbose_name = _("hand measurement")
        verbose_name_plural = _("hand measurements")
        ordering = ["-measured_at", "-id"]

    def __str__(self) -> str:
        return f"{self.person}, {self.degrees}°"
