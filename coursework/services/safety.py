"""Go or stay, and what a school decides for itself."""

from collections.abc import Mapping
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Aspect, Decision, Drill, Outcome, Person, SchoolSettings


@transaction.atomic
def decide(
    by: Person,
    drill: Drill,
    *,
    outcome: str,
    aspects: Mapping[str, Mapping],
    reason: str,
    heat_value: float | None = None,
    seen: int | None = None,
    now: datetime | None = None,
) -> Decision:
    """Add a decision to a drill.

    `aspects` maps values of `Aspect` to {"concern": bool, "note": str}. Going needs every one
    looked at; each concern needs a note; staying needs at least one concern. At the school's own
    heat limit it is not "go" that can be recorded. `seen` is the primary key of the last decision
    that the acting user had before their eyes (0 for none): a newer one refuses this.
    """
    policies.require(policies.may_decide(by, drill))
    drill = Drill.objects.select_for_update().select_related("cohort__course__school").get(
        pk=drill.pk
    )  # fmt: skip
    limits = SchoolSettings.of(drill.cohort.course.school).limits
    clean = {
        name: {"concern": bool(said["concern"]), "note": str(said["note"]).strip()}
        for name, said in aspects.items()
    }
    _check(outcome, clean, limits, heat_value)
    last = drill.decisions.order_by("-decided_at", "-id").first()
    made = Decision(
        drill=drill,
        outcome=outcome,
        aspects=clean,
        heat_value=heat_value,
        heat_limits={
            "measure": limits.measure,
            "unit": limits.unit,
            "care": limits.care,
            "stop": limits.stop,
        },
        reason=reason.strip(),
        site_id=drill.site_id,
        starts_at=drill.starts_at,
        decided_by=by,
        decided_at=now or timezone.now(),
    )
    if seen is not None and seen != (last.pk if last else 0):
        if _same(last, made):
            return last  # the same decision, sent twice
        raise ValidationError(
            _("Someone decided meanwhile. Read that decision before you add another.")
        )
    made.full_clean()
    made.save()
    return made


def _check(outcome, aspects, limits, heat_value) -> None:
    faults = {}
    for name, said in aspects.items():
        if said["concern"] and not said["note"]:
            faults[f"{name}_note"] = _("Say what the concern is and what is done about it.")
    if outcome == Outcome.GO:
        for name in set(Aspect.values) - set(aspects):
            faults[name] = _("Look at this before you go.")
        if heat_value is not None and limits.asks_to_stay(heat_value):
            faults["heat_value"] = " ".join(
                [limits.verdict(heat_value), _("Stay, or measure again.")]
            )
        elif heat_value is not None and limits.asks_for_care(heat_value):
            heat = aspects.get(Aspect.HEAT)
            if heat is not None and not heat["note"]:
                faults[f"{Aspect.HEAT}_note"] = _("Say what care is taken.")
    elif not any(said["concern"] for said in aspects.values()):
        faults[Aspect.WEATHER] = _("Mark at least one concern: why does the drill not go out?")
    if faults:
        raise ValidationError(faults)


def _same(last: Decision | None, made: Decision) -> bool:
    names = ("outcome", "aspects", "heat_value", "reason", "site_id", "starts_at", "decided_by_id")
    return last is not None and all(getattr(last, n) == getattr(made, n) for n in names)


@transaction.atomic
def save_settings(by: Person, settings: SchoolSettings) -> SchoolSettings:
    """Save what the school decides for itself; its administrators only."""
    policies.require(policies.is_school_admin(by) and settings.school_id == by.school_id)
    settings.full_clean()
    settings.save()
    return settings
