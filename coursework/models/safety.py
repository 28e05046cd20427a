"""Whether a drill goes out, decided and kept."""

from typing import Self

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from coursework.models.settings import HeatLimits


class Aspect(models.TextChoices):
    """What a decision looks at, in this order."""

    WEATHER = "weather", _("weather")
    HEAT = "heat", _("heat and cold")
    LIGHTNING = "lightning", _("lightning")
    TERRAIN = "terrain", _("ground")
    GROUP = "group", _("group")
    STAFF = "staff", _("staff")


class Outcome(models.TextChoices):
    GO = "go", _("go")
    STAY = "stay", _("stay")


class DecisionQuerySet(models.QuerySet):
    def last_first(self) -> Self:
        return self.select_related("decided_by", "site").order_by("-decided_at", "-id")


class Decision(models.Model):
    """Go or stay for one drill, by one person. Never changed: a later one is added.

    `aspects` maps each of `Aspect` that was looked at to {"concern": bool, "note": text}.
    Site and start are those that were decided for; a drill that is moved needs a new decision.
    """

    drill = models.ForeignKey("coursework.Drill", models.PROTECT, related_name="decisions")
    outcome = models.CharField(_("decision"), max_length=4, choices=Outcome)
    aspects = models.JSONField(_("what was looked at"))
    heat_value = models.FloatField(_("measured"), null=True, blank=True)
    heat_limits = models.JSONField(_("the school’s heat limits that day"))
    reason = models.TextField(_("in a sentence"), max_length=600)
    site = models.ForeignKey("coursework.Site", models.PROTECT, related_name="decisions")
    starts_at = models.DateTimeField(_("start decided for"))
    decided_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = DecisionQuerySet.as_manager()

    class Meta:
        verbose_name = _("go-or-stay decision")
        verbose_name_plural = _("go-or-stay decisions")
        ordering = ["-decided_at", "-id"]

    def __str__(self) -> str:
        return f"{self.get_outcome_display()}: {self.drill}"

    @property
    def is_go(self) -> bool:
        return self.outcome == Outcome.GO

    @property
    def limits(self) -> HeatLimits:
        return HeatLimits(**self.heat_limits)

    def still_fits(self, drill) -> bool:
        """Whether the drill is still held where and when it was decided for."""
        return self.site_id == drill.site_id and self.starts_at == drill.starts_at

    @property
    def headline(self) -> str:
        return (
            gettext("Go: the drill goes out.")
            if self.is_go
            else gettext("Stay: the drill does not go out.")
        )

    @property
    def lines(self) -> list[tuple[str, str]]:
        """Each aspect with what was said of it, in plain words."""
        found = []
        for aspect in Aspect:
            said = self.aspects.get(aspect.value)
            if said is None:
                continue
            parts = [said["note"]] if said["note"] else []
            if aspect == Aspect.HEAT and self.heat_value is not None:
                parts.insert(0, self.limits.verdict(self.heat_value))
            state = gettext("a concern") if said["concern"] else gettext("in order")
            of_it = f"{state}: {' '.join(parts)}" if parts else state
            found.append((str(aspect.label), of_it))
        return found
