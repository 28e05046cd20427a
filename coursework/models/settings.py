"""What a school decides for itself: heat limits, whom to call, usual numbers."""

from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coursework.models.instruments import USUAL_INTERVAL_DAYS
from coursework.models.people import School
from coursework.models.places import validate_zone


class HeatMeasure(models.TextChoices):
    WBGT = "wbgt", _("wet-bulb globe temperature (WBGT)")
    AIR = "air", _("air temperature in the shade")


class HeatUnit(models.TextChoices):
    CELSIUS = "C", _("degrees Celsius")
    FAHRENHEIT = "F", _("degrees Fahrenheit")


class SchoolSettings(models.Model):
    """One row a school at most. Heat limits are the school's own: published ones differ."""

    school = models.OneToOneField(School, models.CASCADE, related_name="settings")
    emergency_number = models.CharField(_("local emergency number"), max_length=60, blank=True)
    nearest_help = models.TextField(_("nearest help"), max_length=600, blank=True)
    heat_measure = models.CharField(
        _("heat is judged by"), max_length=4, choices=HeatMeasure, default=HeatMeasure.WBGT
    )
    heat_unit = models.CharField(
        _("unit"), max_length=1, choices=HeatUnit, default=HeatUnit.CELSIUS
    )
    heat_care = models.FloatField(_("take care from"), null=True, blank=True)
    heat_stop = models.FloatField(_("stay in from"), null=True, blank=True)
    check_interval_days = models.PositiveSmallIntegerField(
        _("days between checks of an instrument"),
        default=USUAL_INTERVAL_DAYS,
        validators=[MinValueValidator(1), MaxValueValidator(3660)],
    )
    students_per_instructor = models.PositiveSmallIntegerField(
        _("most students for one instructor"),
        default=12,
        validators=[MinValueValidator(1), MaxValueValidator(100)],
    )
    travel_kmh = models.FloatField(
        _("speed between sites"),
        default=4.0,
        validators=[MinValueValidator(0.5), MaxValueValidator(120.0)],
    )
    zone = models.CharField(
        _("time zone of the school"), max_length=64, default="UTC", validators=[validate_zone]
    )

    class Meta:
        verbose_name = _("settings of a school")
        verbose_name_plural = _("settings of schools")

    def __str__(self) -> str:
        return str(self.school)

    @classmethod
    def of(cls, school: School | None) -> Self:
        """The school's own, or the usual ones, not saved, where it has decided nothing yet."""
        return school.settings if hasattr(school, "settings") else cls(school=school)

    @property
    def limits(self) -> "HeatLimits":
        return HeatLimits(
            measure=self.heat_measure,
            unit=self.heat_unit,
            care=self.heat_care,
            stop=self.heat_stop,
        )


class HeatLimits:
    """A school's heat limits as they stood: from where to take care, and from where to stay in."""

    def __init__(self, *, measure: str, unit: str, care: float | None, stop: float | None) -> None:
        self.measure, self.unit, self.care, self.stop = measure, unit, care, stop

    def in_words(self, value: float) -> str:
        """A temperature with its unit and what it is, such as '28 °C WBGT'."""
        size = f"{value:g}".replace("-", "−") + f" °{self.unit}"
        if self.measure == HeatMeasure.WBGT:
            return gettext("%s WBGT") % size
        return gettext("%s in the shade") % size

    @property
    def is_set(self) -> bool:
        return self.care is not None or self.stop is not None

    def asks_to_stay(self, value: float) -> bool:
        return self.stop is not None and value >= self.stop

    def asks_for_care(self, value: float) -> bool:
        return self.care is not None and value >= self.care

    def sentences(self) -> list[str]:
        found = []
        if self.care is not None:
            found.append(gettext("The school takes care from %s.") % self.in_words(self.care))
        if self.stop is not None:
            found.append(gettext("The school stays in from %s.") % self.in_words(self.stop))
        return found or [gettext("The school has set no heat limits.")]

    def verdict(self, value: float) -> str:
        """How a measured value stands to the limits, in a sentence."""
        said = self.in_words(value)
        if self.asks_to_stay(value):
            limit = self.in_words(self.stop)
            return gettext("%(value)s: at or over %(limit)s, from where the school stays in.") % {
                "value": said,
                "limit": limit,
            }
        if self.asks_for_care(value):
            limit = self.in_words(self.care)
            return gettext("%(value)s: at or over %(limit)s, from where the school takes care.") % {
                "value": said,
                "limit": limit,
            }
        if self.is_set:
            return gettext("%s: below the school’s limits.") % said
        return gettext("%s; the school has set no limits.") % said
