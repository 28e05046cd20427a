"""How many paces a person takes for a hundred metres, counted over a measured distance."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

PACES, DISTANCE_M, PACES_PER_100_M = (1, 10_000), (20.0, 5000.0), (20.0, 400.0)
"""Least and most of each, both allowed."""


def _within(limits) -> list:
    return [MinValueValidator(limits[0]), MaxValueValidator(limits[1])]


class PaceMeasurement(models.Model):
    """One calibration. The newest one is what `Person.paces_per_100_m` says.

    All numbers are blank where a calibration was taken back.
    """

    person = models.ForeignKey(
        "coursework.Person", models.CASCADE, related_name="pace_measurements"
    )
    paces = models.PositiveSmallIntegerField(
        _("paces counted"), null=True, blank=True, validators=_within(PACES)
    )
    distance_m = models.FloatField(
        _("measured distance"), null=True, blank=True, validators=_within(DISTANCE_M)
    )
    paces_per_100_m = models.FloatField(
        _("paces for 100 m"), null=True, blank=True, validators=_within(PACES_PER_100_M)
    )
    measured_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    measured_at = models.DateTimeField(_("measured"), default=timezone.now, editable=False)

    class Meta:
        verbose_name = _("pace measurement")
        verbose_name_plural = _("pace measurements")
        ordering = ["-measured_at", "-id"]

    def __str__(self) -> str:
        return f"{self.person}, {self.paces_per_100_m}"
