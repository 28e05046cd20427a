"""Places where drills are held."""

from typing import Self
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from solar.clock import is_zone
from solar.horizon import TerrainHorizon


def validate_zone(name: str) -> None:
    if not is_zone(name):
        raise ValidationError(_("“%(name)s” is not a time zone."), params={"name": name})


def validate_horizon(text: str) -> None:
    try:
        TerrainHorizon.parse(text)
    except ValueError as error:
        raise ValidationError(str(error)) from error


class SiteQuerySet(models.QuerySet):
    def with_numbers(self) -> Self:
        """Each with `mark_number`, the number of its reference marks."""
        # Rows that are counted lose the order of Meta.
        rows = self.annotate(mark_number=models.Count("marks"))
        return rows.order_by(*Site._meta.ordering)


class Site(models.Model):
    """A place with what the sun needs to be known there: position, ground and skyline."""

    school = models.ForeignKey("coursework.School", models.CASCADE, related_name="sites")
    name = models.CharField(_("name"), max_length=120)
    latitude_deg = models.FloatField(
        _("latitude"), validators=[MinValueValidator(-89.0), MaxValueValidator(89.0)]
    )
    longitude_deg = models.FloatField(
        _("longitude"), validators=[MinValueValidator(-180.0), MaxValueValidator(180.0)]
    )
    elevation_m = models.FloatField(
        _("elevation"),
        default=0.0,
        validators=[MinValueValidator(-500.0), MaxValueValidator(9000.0)],
    )
    zone = models.CharField(_("time zone"), max_length=64, validators=[validate_zone])
    slope_deg = models.FloatField(
        _("slope of the ground"),
        default=0.0,
        validators=[MinValueValidator(0.0), MaxValueValidator(45.0)],
    )
    downhill_deg = models.FloatField(
        _("bearing of the fall"),
        default=0.0,
        validators=[MinValueValidator(0.0), MaxValueValidator(360.0)],
    )
    horizon = models.TextField(
        _("skyline"),
        blank=True,
        validators=[validate_horizon],
        help_text=_(
            "Pairs of true bearing and elevation in degrees, such as “90:4.5 180:12”, joined by "
            "straight lines around the circle. Blank where the horizon is flat and open."
        ),
    )
    hazards = models.TextField(_("hazards"), blank=True)
    emergency = models.TextField(_("emergency notes"), blank=True)

    objects = SiteQuerySet.as_manager()

    class Meta:
        verbose_name = _("site")
        verbose_name_plural = _("sites")
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["school", "name"], name="site_name_once_a_school")
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def zone_info(self) -> ZoneInfo:
        return ZoneInfo(self.zone)

    @property
    def profile(self) -> TerrainHorizon:
        return TerrainHorizon.parse(self.horizon)


class ReferenceMark(models.Model):
    """Something that can be seen from a site and whose true bearing from it is known."""

    site = models.ForeignKey(Site, models.CASCADE, related_name="marks")
    name = models.CharField(_("name"), max_length=120)
    bearing_deg = models.FloatField(
        _("true bearing"), validators=[MinValueValidator(0.0), MaxValueValidator(360.0)]
    )

    class Meta:
        verbose_name = _("reference mark")
        verbose_name_plural = _("reference marks")
        ordering = ["bearing_deg", "id"]
        constraints = [
            models.UniqueConstraint(fields=["site", "name"], name="mark_name_once_a_site")
        ]

    def __str__(self) -> str:
        return self.name
