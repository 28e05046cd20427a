"""Places where drills are held."""

from typing import Self
from zoneinfo import ZoneInfo

from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from coursework.coordinates import Position
from coursework.solar_words import in_words
from solar.bearings import bearing_deg
from solar.clock import is_zone
from solar.horizon import HorizonError, TerrainHorizon
from solar.travel import WGS84

LATITUDE_LIMITS = [MinValueValidator(-89.0), MaxValueValidator(89.0)]
LONGITUDE_LIMITS = [MinValueValidator(-180.0), MaxValueValidator(180.0)]
MARK_U_DEG = 0.5
"""Standard uncertainty of a mark's bearing where none is given (common practice)."""


def validate_zone(name: str) -> None:
    if not is_zone(name):
        raise ValidationError(_("“%(name)s” is not a time zone."), params={"name": name})


def validate_horizon(text: str) -> None:
    try:
        TerrainHorizon.parse(text)
    except HorizonError as error:
        raise ValidationError(in_words(error.sentence)) from error


class CompassHeading(models.IntegerChoices):
    """The eight points that a person without a compass can hold to, as true bearings."""

    NORTH = 0, _("north")
    NORTH_EAST = 45, _("north-east")
    EAST = 90, _("east")
    SOUTH_EAST = 135, _("south-east")
    SOUTH = 180, _("south")
    SOUTH_WEST = 225, _("south-west")
    WEST = 270, _("west")
    NORTH_WEST = 315, _("north-west")


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
    latitude_deg = models.FloatField(_("latitude"), validators=LATITUDE_LIMITS)
    longitude_deg = models.FloatField(_("longitude"), validators=LONGITUDE_LIMITS)
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
    rally_words = models.TextField(_("rally point in words"), blank=True)
    rally_latitude_deg = models.FloatField(
        _("latitude of the rally point"), null=True, blank=True, validators=LATITUDE_LIMITS
    )
    rally_longitude_deg = models.FloatField(
        _("longitude of the rally point"), null=True, blank=True, validators=LONGITUDE_LIMITS
    )
    lost_steps = models.TextField(_("when someone is lost"), blank=True)
    safe_heading_deg = models.PositiveSmallIntegerField(
        _("safe heading"), choices=CompassHeading.choices, null=True, blank=True
    )
    safe_heading_to = models.CharField(
        _("what the safe heading reaches"), max_length=200, blank=True
    )
    students_per_instructor = models.PositiveSmallIntegerField(
        _("most students per instructor"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(50)],
    )
    drills_at_once = models.PositiveSmallIntegerField(
        _("drills that have room at once"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(20)],
    )

    objects = SiteQuerySet.as_manager()

    class Meta:
        verbose_name = _("site")
        verbose_name_plural = _("sites")
        ordering = ["name", "id"]
        constraints = [
            models.UniqueConstraint(fields=["school", "name"], name="site_name_once_a_school"),
            models.CheckConstraint(
                name="site_rally_point_whole",
                condition=models.Q(
                    rally_latitude_deg__isnull=True, rally_longitude_deg__isnull=True
                )
                | models.Q(rally_latitude_deg__isnull=False, rally_longitude_deg__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def position(self) -> Position:
        return Position(self.latitude_deg, self.longitude_deg)

    @property
    def rally_position(self) -> Position | None:
        return _position(self.rally_latitude_deg, self.rally_longitude_deg)

    @property
    def rally_way(self) -> tuple[float, float] | None:
        """True bearing (degrees) and distance (m) to the rally point; None without a position."""
        rally = self.rally_position
        return None if rally is None else way(self.position, rally)

    @property
    def lost_step_list(self) -> list[str]:
        """What someone who is lost does, one step a line, blank lines left out."""
        return [line.strip() for line in self.lost_steps.splitlines() if line.strip()]

    @property
    def zone_info(self) -> ZoneInfo:
        return ZoneInfo(self.zone)

    @property
    def profile(self) -> TerrainHorizon:
        return TerrainHorizon.parse(self.horizon)


class ReferenceMark(models.Model):
    """Something that can be seen from a site and whose true bearing from it is known.

    Where the mark has coordinates its bearing is that of the geodesic from the site, kept in
    step by `aim`; otherwise the bearing was measured.
    """

    site = models.ForeignKey(Site, models.CASCADE, related_name="marks")
    name = models.CharField(_("name"), max_length=120)
    bearing_deg = models.FloatField(
        _("true bearing"), validators=[MinValueValidator(0.0), MaxValueValidator(360.0)]
    )
    bearing_u_deg = models.FloatField(
        _("standard uncertainty of the bearing"),
        default=MARK_U_DEG,
        validators=[MinValueValidator(0.01), MaxValueValidator(5.0)],
    )
    latitude_deg = models.FloatField(
        _("latitude"), null=True, blank=True, validators=LATITUDE_LIMITS
    )
    longitude_deg = models.FloatField(
        _("longitude"), null=True, blank=True, validators=LONGITUDE_LIMITS
    )

    class Meta:
        verbose_name = _("reference mark")
        verbose_name_plural = _("reference marks")
        ordering = ["bearing_deg", "id"]
        constraints = [
            models.UniqueConstraint(fields=["site", "name"], name="mark_name_once_a_site"),
            models.CheckConstraint(
                name="mark_position_whole",
                condition=models.Q(latitude_deg__isnull=True, longitude_deg__isnull=True)
                | models.Q(latitude_deg__isnull=False, longitude_deg__isnull=False),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def position(self) -> Position | None:
        return _position(self.latitude_deg, self.longitude_deg)

    @property
    def distance_m(self) -> float | None:
        """Along the geodesic from the site; None for a mark without coordinates."""
        return None if self.position is None else way(self.site.position, self.position)[1]

    def aim(self) -> None:
        """Take the bearing from the coordinates of mark and site, where the mark has some."""
        if self.position is not None:
            self.bearing_deg = way(self.site.position, self.position)[0]


def way(start: Position, end: Position) -> tuple[float, float]:
    """True bearing at the start (degrees, 0 to below 360) and length (m) of the geodesic."""
    azimuth_deg, _back_deg, length_m = WGS84.inv(
        start.longitude_deg, start.latitude_deg, end.longitude_deg, end.latitude_deg
    )
    return float(bearing_deg(azimuth_deg)), float(length_m)


def _position(latitude_deg: float | None, longitude_deg: float | None) -> Position | None:
    if latitude_deg is None or longitude_deg is None:
        return None
    return Position(latitude_deg, longitude_deg)
