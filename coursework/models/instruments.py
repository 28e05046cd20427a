"""What lines are checked with."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _


class Instrument(models.Model):
    """A compass or a protractor of the school, with what is known of its errors."""

    class Kind(models.TextChoices):
        COMPASS = "compass", _("compass")
        PROTRACTOR = "protractor", _("protractor")

    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="instruments")
    label = models.CharField(_("number or mark"), max_length=40)
    kind = models.CharField(_("kind"), max_length=20, choices=Kind, default=Kind.COMPASS)
    correction_deg = models.FloatField(
        _("correction"),
        default=0.0,
        validators=[MinValueValidator(-180.0), MaxValueValidator(180.0)],
        help_text=_("Degrees to add to what it reads; to the right is positive."),
    )
    reading_u_deg = models.FloatField(
        _("standard uncertainty of a reading"),
        default=1.5,
        validators=[MinValueValidator(0.0), MaxValueValidator(45.0)],
    )

    class Meta:
        verbose_name = _("instrument")
        verbose_name_plural = _("instruments")
        ordering = ["label", "id"]
        constraints = [
            models.UniqueConstraint(fields=["school", "label"], name="instrument_once_a_school")
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()} {self.label}"
