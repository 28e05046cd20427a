"""A stored score beside the one that the same inputs give today."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from assessments.models import Revision
from assessments.models.revisions import SCORE_FIELDS
from assessments.observations import ROW_COLUMNS
from assessments.scored import numbers_of, refusal_of
from assessments.travel import score_row
from coursework.models import Unit
from solar.scoring import score


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One number of a stored score beside what the engine gives today, in `unit`."""

    column: str
    stored: float | None
    fresh: float | None
    unit: str = Unit.DEGREES.value

    @property
    def name(self) -> str:
        named = result_names().get(self.column)
        return named or str(Revision._meta.get_field(self.column).verbose_name)

    @property
    def is_known(self) -> bool:
        """Whether there is a number on either side."""
        return not (self.stored is None and self.fresh is None)

    @property
    def change(self) -> float | None:
        if self.stored is None or self.fresh is None:
            return None
        return self.fresh - self.stored

    @property
    def is_changed(self) -> bool:
        """Whether it differs by more than the last of the three decimals that are kept."""
        if self.change is None:
            return self.stored is not self.fresh
        return abs(self.change) > 0.0005


def recompute_difference(revision: Revision) -> list[Difference]:
    """The stored score beside the one today's engine gives for the same inputs; stores nothing.

    Refused where today's engine cannot score the inputs at all.
    """
    if not revision.has_result:
        return []
    if revision.is_travel:
        return _travel_difference(revision)
    scores = score({name: [revision.inputs.get(name, "")] for name in ROW_COLUMNS})
    if scores.columns["problem"][0]:
        raise refusal_of(scores, 0, revision.inputs, 0)
    fresh = numbers_of(scores, 0, revision.facts)
    return [
        Difference(column=name, stored=getattr(revision, name), fresh=fresh[name])
        for name in SCORE_FIELDS
    ]


def _travel_difference(revision: Revision) -> list[Difference]:
    fresh = score_row(
        revision.inputs,
        steps=tuple(revision.facts["steps"]),
        steps_met=tuple(revision.steps_met),
    ).results
    names = dict.fromkeys([*revision.results, *fresh])
    return [
        Difference(
            column=name,
            stored=revision.results.get(name),
            fresh=fresh.get(name),
            unit=unit_of_result(name),
        )
        for name in names
    ]


def unit_of_result(name: str) -> str:
    """The unit that the name of a computed quantity ends in (a value of `Unit`)."""
    endings = {"_deg": Unit.DEGREES, "_percent": Unit.PERCENT, "_m": Unit.METRES}
    return next((unit for end, unit in endings.items() if name.endswith(end)), Unit.STEPS).value


def result_names() -> dict[str, str]:
    """The computed quantities of results without a line, in words."""
    return {
        "told_m": _("distance told"),
        "measured_m": _("distance measured"),
        "error_m": _("error in metres"),
        "error_percent": _("error in percent"),
        "expanded_u_percent": _("expanded uncertainty"),
        "leg_m": _("length of the leg"),
        "leg_bearing_deg": _("true bearing of the leg"),
        "walked_m": _("start to arrival, straight"),
        "walked_bearing_deg": _("true bearing walked"),
        "bearing_error_deg": _("bearing error"),
        "along_m": _("past the goal along the leg"),
        "across_m": _("to the right of the leg"),
        "offset_m": _("goal to arrival"),
        "expanded_u_bearing_deg": _("expanded uncertainty of the bearing error"),
        "expanded_u_offset_m": _("expanded uncertainty of the offset"),
        "distance_m": _("true point to plotted point"),
        "bearing_deg": _("direction from the true point"),
        "expanded_u_m": _("expanded uncertainty"),
        "steps": _("steps"),
        "steps_met": _("steps met"),
    }
