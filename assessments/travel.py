"""Results in which no line is laid, scored: distances, legs, positions and checklists.

A row is columns of text, as for lines: those of `observations.observed_columns` and of
`observations.setting_columns`. Coordinates are decimal degrees, north and east
positive; a standard uncertainty left blank is that of `solar.travel`.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext as _

from assessments.observations import TRAVEL_COLUMNS
from assessments.refusals import Refused
from coursework.models import JudgedOn, Method, Unit
from solar import travel
from solar.bearings import bearing_deg
from solar.decision import decide

_BLANK_IS_ALLOWED = {"measured_u_m", "measured_u_percent", "point_u_m", "arrival_u_m"}
_LARGEST = {
    "paces": 100_000.0,
    "paces_per_100_m": 400.0,
    "told_m": 100_000.0,
    "measured_m": 100_000.0,
    "measured_u_m": 10_000.0,
    "measured_u_percent": 50.0,
    "point_u_m": 1_000.0,
    "arrival_u_m": 1_000.0,
}
FARTHEST_M = 100_000.0
"""Coordinates farther apart than this are taken for a slip of the pen."""


@dataclass(frozen=True)
class TravelScore:
    """A score in the unit of its method; `results` holds all that was computed, by name.

    value is positive where it has no side; with one, over and right are positive. expanded_u
    has the same unit (two standard uncertainties).
    """

    value: float
    unit: str
    side: str
    expanded_u: float
    verdict: str
    results: dict[str, Any]
    drawing: dict[str, Any] = field(default_factory=dict)


def score_row(
    row: Mapping[str, str], *, steps: tuple[str, ...], steps_met: tuple[str, ...]
) -> TravelScore:
    """The score of one row; Refused with the column that has no number of use."""
    method = row["method"]
    if method == Method.CHECKLIST:
        return _checklist(steps, steps_met)
    numbers = {name: _number(row, name) for name in TRAVEL_COLUMNS[Method(method)]}
    return _SCORERS[Method(method)](row, numbers)


def _number(row: Mapping[str, str], name: str) -> float:
    """A column as a number, NaN where it may be blank; Refused where it is none of use."""
    text = row.get(name, "")
    if not text and name in _BLANK_IS_ALLOWED:
        return math.nan
    if not text and name == "paces_per_100_m":
        raise Refused(name, _("Enter the paces for 100 m: none are on record for the student."))
    if not text:
        raise Refused(name, _("This has to be filled in."))
    try:
        number = float(text)
    except ValueError:
        raise Refused(name, _("“%(text)s” is not a number.") % {"text": text}) from None
    if name.endswith(("_lat", "_lon")):
        limit = 90.0 if name.endswith("_lat") else 180.0
        if not abs(number) <= limit:
            sentence = _("Must be from %(low)s to %(high)s degrees.")
            raise Refused(name, sentence % {"low": f"−{limit:g}", "high": f"{limit:g}"})
        return number
    low_is_fine = name in _BLANK_IS_ALLOWED and number == 0.0
    if not (low_is_fine or 0.0 < number <= _LARGEST[name]):
        sentence = _("Must be more than 0 and at most %(high)s.")
        raise Refused(name, sentence % {"high": f"{_LARGEST[name]:g}"})
    return number


def _judged(
    row: Mapping[str, str],
    *,
    value: float,
    unit: str,
    side: str,
    expanded_u: float,
    results: dict[str, float],
    drawing: dict[str, Any] | None = None,
) -> TravelScore:
    verdict = decide(
        value,
        tolerance_deg=float(row["tolerance"]),
        expanded_u_deg=expanded_u,
        guarded=row["rule"] != "plain",
    )
    return TravelScore(
        value=value,
        unit=unit,
        side=side,
        expanded_u=expanded_u,
        verdict=str(verdict[()]),
        results={name: round(number, 6) for name, number in results.items()},
        drawing=drawing or {},
    )


def _distance(row: Mapping[str, str], numbers: dict[str, float]) -> TravelScore:
    told_m = numbers.get("told_m")
    if told_m is None:
        told_m = float(travel.paced_m(numbers["paces"], paces_per_100_m=numbers["paces_per_100_m"]))
    found = travel.distance_error(
        told_m=told_m,
        measured_m=numbers["measured_m"],
        measured_u_m=numbers["measured_u_m"],
        measured_u_percent=numbers["measured_u_percent"],
    )
    error = float(found.error_percent)
    return _judged(
        row,
        value=error,
        unit=Unit.PERCENT.value,
        side=_side(error, "over", "under"),
        expanded_u=float(found.expanded_u_percent),
        results={
            "told_m": told_m,
            "measured_m": numbers["measured_m"],
            "error_m": told_m - numbers["measured_m"],
            "error_percent": error,
            "expanded_u_percent": float(found.expanded_u_percent),
        },
    )


def _leg(row: Mapping[str, str], numbers: dict[str, float]) -> TravelScore:
    found = travel.leg_error(
        **{
            f"{end}_{axis}_deg": numbers[f"{end}_{short}"]
            for end in ("start", "goal", "arrival")
            for axis, short in (("latitude", "lat"), ("longitude", "lon"))
        },
        point_u_m=_given(numbers["point_u_m"], travel.POINT_U_M),
        arrival_u_m=_given(numbers["arrival_u_m"], travel.POINT_U_M),
    )
    results = {name: float(value) for name, value in vars(found).items()}
    if math.isnan(results["leg_bearing_deg"]):
        sentence = _("The goal has to be at least %(metres)s m from the start.")
        raise Refused("goal_lat", sentence % {"metres": f"{travel.SHORTEST_LEG_M:g}"})
    if max(results["leg_m"], results["walked_m"]) > FARTHEST_M:
        name = "goal_lat" if results["leg_m"] > FARTHEST_M else "arrival_lat"
        raise Refused(name, _too_far())
    if math.isnan(results["walked_bearing_deg"]):
        raise Refused("arrival_lat", _("That is the start: no leg was walked."))
    drawing = {
        "method": row["method"],
        "points": [
            _point("start", 0.0, 0.0),
            _polar("goal", results["leg_bearing_deg"], results["leg_m"]),
            _polar("arrival", results["walked_bearing_deg"], results["walked_m"]),
        ],
        "uncertainty_m": results["expanded_u_offset_m"],
    }
    if row["judged_on"] == JudgedOn.BEARING:
        error = results["bearing_error_deg"]
        side, unit, u = _side(error, "right", "left"), Unit.DEGREES, "expanded_u_bearing_deg"
    else:
        error, unit, u = results["offset_m"], Unit.METRES, "expanded_u_offset_m"
        side = _side(results["across_m"], "right", "left")
        drawing["tolerance_m"] = float(row["tolerance"])
    return _judged(
        row,
        value=error,
        unit=unit.value,
        side=side,
        expanded_u=results[u],
        results=results,
        drawing=drawing,
    )


def _position(row: Mapping[str, str], numbers: dict[str, float]) -> TravelScore:
    found = travel.position_error(
        **{
            f"{point}_{axis}_deg": numbers[f"{point}_{short}"]
            for point in ("true", "plotted")
            for axis, short in (("latitude", "lat"), ("longitude", "lon"))
        },
        point_u_m=_given(numbers["point_u_m"], travel.POINT_U_M),
    )
    results = {name: float(value) for name, value in vars(found).items()}
    if results["distance_m"] > FARTHEST_M:
        raise Refused("plotted_lat", _too_far())
    towards = results["bearing_deg"]
    if math.isnan(towards):
        del results["bearing_deg"]
        towards = 0.0
    drawing = {
        "method": row["method"],
        "points": [_point("true", 0.0, 0.0), _polar("plotted", towards, results["distance_m"])],
        "uncertainty_m": results["expanded_u_m"],
        "tolerance_m": float(row["tolerance"]),
    }
    return _judged(
        row,
        value=results["distance_m"],
        unit=Unit.METRES.value,
        side="",
        expanded_u=results["expanded_u_m"],
        results=results,
        drawing=drawing,
    )


def _checklist(steps: tuple[str, ...], steps_met: tuple[str, ...]) -> TravelScore:
    if not steps:
        raise Refused("steps_met", _("This exercise has no steps to be met."))
    missed = [step for step in steps if step not in steps_met]
    return TravelScore(
        value=float(len(missed)),
        unit=Unit.STEPS.value,
        side="",
        expanded_u=0.0,
        verdict="outside" if missed else "within",
        results={"steps": len(steps), "steps_met": len(steps) - len(missed)},
    )


_SCORERS: dict[str, Callable[[Mapping[str, str], dict[str, float]], TravelScore]] = {
    Method.PACE_COUNT: _distance,
    Method.DISTANCE: _distance,
    Method.LEG: _leg,
    Method.POSITION: _position,
}


def _too_far() -> str:
    sentence = _("That is more than %(km)s km away: look at the coordinates again.")
    return sentence % {"km": f"{FARTHEST_M / 1000.0:g}"}


def _given(number: float, usual: float) -> float:
    return usual if math.isnan(number) else number


def _side(value: float, positive: str, negative: str) -> str:
    if value == 0.0:
        return ""
    return positive if value > 0.0 else negative


def _point(kind: str, east_m: float, north_m: float) -> dict[str, Any]:
    return {"kind": kind, "east_m": round(east_m, 3), "north_m": round(north_m, 3)}


def _polar(kind: str, towards_deg: float, distance_m: float) -> dict[str, Any]:
    """A point of the drawing, in metres east and north of its first one."""
    angle = math.radians(float(bearing_deg(towards_deg)))
    return _point(kind, distance_m * math.sin(angle), distance_m * math.cos(angle))
