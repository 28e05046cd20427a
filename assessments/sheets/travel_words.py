"""Results without a line in plain sentences: the same on pages and on paper.

Percent are positive over and negative under, metres across a leg positive to the right.
Sentences start with a capital and end with a full stop; parts of sentences do neither.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from assessments.sheets import words
from coursework.models import JudgedOn, Method, Unit
from solar.decision import decide


@dataclass(frozen=True)
class TravelNumbers:
    """What a score says of one attempt: `value`, tolerance and uncertainty in `unit`."""

    method: str
    judged_on: str
    rule: str
    tolerance: float
    unit: str
    value: float
    side: str
    expanded_u: float
    verdict: str
    results: Mapping[str, float] = field(default_factory=dict)
    missed: tuple[str, ...] = ()


def quantity(value: float, unit: str, places: int = 1) -> str:
    """A size with its unit: '2.1°', '3.0 %', '38 m'; metres from 10 on without decimals."""
    if unit == Unit.DEGREES:
        return words.degrees(value, places)
    if unit == Unit.METRES and abs(value) >= 10.0:
        places -= 1
    if unit == Unit.STEPS:
        places = 0
    number = number_format(round(value, places) + 0.0, decimal_pos=max(0, places))
    number = number.replace("-", words.MINUS)
    return {Unit.PERCENT: f"{number} %", Unit.METRES: f"{number} m"}.get(Unit(unit), number)


def signed_score(value: float, unit: str, side: str, results: Mapping[str, float]) -> str:
    """For tables: '+2.1° right', '+3.0 % over', '38 m, 31 m right', '5 of 6 steps'."""
    if unit == Unit.DEGREES:
        return words.signed(value)
    if unit == Unit.STEPS:
        said = {"met": int(results["steps_met"]), "steps": int(results["steps"])}
        return _("%(met)s of %(steps)s steps") % said
    size = quantity(abs(value), unit)
    if unit == Unit.METRES:
        across = results.get("across_m")
        if across is None or not side:
            return size
        part = quantity(abs(across), unit)
        return _("%(size)s, %(part)s %(side)s") % {
            "size": size,
            "part": part,
            "side": side_name(side),
        }
    if round(abs(value), 1) == 0.0:
        return size
    sign = "+" if value > 0.0 else words.MINUS
    return f"{sign}{size} {side_name(side)}"


def side_name(side: str) -> str:
    names = {"right": _("right"), "left": _("left"), "over": _("over"), "under": _("under")}
    return names.get(side, "")


def result_sentence(numbers: TravelNumbers) -> str:
    """What came out, in one sentence."""
    results = numbers.results
    match numbers.method:
        case Method.PACE_COUNT | Method.DISTANCE:
            return _distance_sentence(numbers)
        case Method.LEG:
            return _("Arrived %(offset)s from the goal: %(along)s and %(across)s.") % {
                "offset": quantity(results["offset_m"], Unit.METRES),
                "along": _along(results["along_m"]),
                "across": _across(results["across_m"]),
            }
        case Method.POSITION:
            return _position_sentence(results)
    said = {"met": int(results["steps_met"]), "steps": int(results["steps"])}
    if not numbers.missed:
        return _("All %(steps)s steps were met.") % said
    return _("%(met)s of %(steps)s steps were met.") % said


def _distance_sentence(numbers: TravelNumbers) -> str:
    results = numbers.results
    said = {
        "told": quantity(results["told_m"], Unit.METRES),
        "measured": quantity(results["measured_m"], Unit.METRES),
        "error": _percent_with_side(results["error_percent"]),
    }
    if numbers.method == Method.PACE_COUNT:
        return _("The count stands for %(told)s; measured were %(measured)s: %(error)s.") % said
    return _("Told were %(told)s; measured were %(measured)s: %(error)s.") % said


def _percent_with_side(percent: float) -> str:
    size = quantity(abs(percent), Unit.PERCENT)
    if round(abs(percent), 1) == 0.0:
        return size
    said = {"size": size}
    return _("%(size)s too much") % said if percent > 0.0 else _("%(size)s too little") % said


def _along(metres: float) -> str:
    said = {"size": quantity(abs(metres), Unit.METRES)}
    if round(abs(metres), 1) == 0.0:
        return _("neither short nor past")
    return _("%(size)s past it") % said if metres > 0.0 else _("%(size)s short of it") % said


def _across(metres: float) -> str:
    said = {"size": quantity(abs(metres), Unit.METRES)}
    if round(abs(metres), 1) == 0.0:
        return _("to neither side")
    return _("%(size)s to the right") % said if metres > 0.0 else _("%(size)s to the left") % said


def _position_sentence(results: Mapping[str, float]) -> str:
    size = quantity(results["distance_m"], Unit.METRES)
    if "bearing_deg" not in results:
        return _("Plotted on the very point (%(size)s).") % {"size": size}
    return _("Plotted %(size)s from the true point, towards %(bearing)s true.") % {
        "size": size,
        "bearing": words.bearing(results["bearing_deg"], 0),
    }


def further_sentences(numbers: TravelNumbers) -> list[str]:
    """What else is to be said: the bearing of a leg, the steps that were missed."""
    results, found = numbers.results, []
    if numbers.method == Method.LEG:
        sentence = _(
            "The leg runs %(leg)s at %(asked)s true; the straight line walked ran %(walked)s at "
            "%(bearing)s: %(turn)s."
        )
        found.append(
            sentence
            % {
                "leg": quantity(results["leg_m"], Unit.METRES),
                "asked": words.bearing(results["leg_bearing_deg"]),
                "walked": quantity(results["walked_m"], Unit.METRES),
                "bearing": words.bearing(results["walked_bearing_deg"]),
                "turn": words.turn(results["bearing_error_deg"]),
            }
        )
    if numbers.missed:
        found.append(_("Not met: %(steps)s") % {"steps": " ".join(numbers.missed)})
    return found


def reference_part(numbers: TravelNumbers, places: int = 1) -> str:
    """How well the reference knows it: 'a reference good to ±2.0 %'."""
    expanded = quantity(numbers.expanded_u, numbers.unit, places)
    return _("a reference good to ±%(uncertainty)s") % {"uncertainty": expanded}


def verdict_part(numbers: TravelNumbers) -> str:
    """'too close to call: 4.2 % against 5 % with a reference good to ±2.0 % (guarded rule)'."""
    verdict = words.verdict_name(numbers.verdict)
    if numbers.unit == Unit.STEPS:
        score = signed_score(numbers.value, numbers.unit, "", numbers.results)
        return _("%(verdict)s: %(score)s met") % {"verdict": verdict, "score": score}
    places = _telling_places(numbers)
    said = {
        "verdict": verdict,
        "judged": quantity(abs(numbers.value), numbers.unit, places),
        "tolerance": tolerance(numbers.tolerance, numbers.unit),
        "reference": reference_part(numbers, places),
        "rule": words.rule_name(numbers.rule),
    }
    if numbers.rule == "plain":
        return _("%(verdict)s: %(judged)s against %(tolerance)s (%(rule)s)") % said
    return _("%(verdict)s: %(judged)s against %(tolerance)s with %(reference)s (%(rule)s)") % said


def _telling_places(numbers: TravelNumbers) -> int:
    """As many decimals as it takes for the printed figures to agree with the verdict."""
    for places in (1, 2, 3):
        # What is printed without decimals is compared without them.
        shown, spread = (
            round(size, places - (numbers.unit == Unit.METRES and size >= 10.0))
            for size in (abs(numbers.value), numbers.expanded_u)
        )
        found = decide(
            shown,
            tolerance_deg=numbers.tolerance,
            expanded_u_deg=spread,
            guarded=numbers.rule != "plain",
        )
        if str(found[()]) == numbers.verdict:
            return places
    return 4


def verdict_sentence(numbers: TravelNumbers) -> str:
    return words.capital(verdict_part(numbers)) + "."


def tolerance(value: float, unit: str) -> str:
    """A tolerance as it was set: '15°', '5 %', '50 m'."""
    if unit == Unit.DEGREES:
        return words.tolerance(value)
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    number = number_format(value, decimal_pos=len(text.partition(".")[2]))
    return f"{number} %" if unit == Unit.PERCENT else f"{number} m"


def standard_sentence(*, method: str, judged_on: str, tolerance_is: float, unit: str, rule: str):
    """What is asked for, how near, and by which rule."""
    if method == Method.CHECKLIST:
        return _("Every step has to be met.")
    said = {"tolerance": tolerance(tolerance_is, unit)}
    if method == Method.LEG and judged_on == JudgedOn.BEARING:
        asked = _("Judged is the bearing walked: within %(tolerance)s to either side of the leg’s.")
    elif method == Method.LEG:
        asked = _("Judged is the arrival: within %(tolerance)s of the goal.")
    elif method == Method.POSITION:
        asked = _("Judged is the plotted point: within %(tolerance)s of the true one.")
    else:
        asked = _("Judged is the distance: within %(tolerance)s of the measured one.")
    rules = {
        "guarded": _(
            "Guarded rule: the uncertainty of the reference counts, so a result near the limit is "
            "too close to call."
        ),
        "plain": _("Plain rule: the uncertainty of the reference is not used."),
    }
    return f"{asked % said} {rules[rule]}"


def sentences(numbers: TravelNumbers) -> list[str]:
    """Everything that is to be said of an attempt, in the order it is read; verdict apart."""
    found = [result_sentence(numbers), *further_sentences(numbers)]
    if numbers.unit != Unit.STEPS:
        expanded = quantity(numbers.expanded_u, numbers.unit)
        found.append(_("The reference is good to ±%(uncertainty)s.") % {"uncertainty": expanded})
    return found


def number_rows(numbers: TravelNumbers) -> list[tuple[str, str]]:
    """The small table: name and value with unit and side."""
    results = numbers.results
    metres = Unit.METRES
    match numbers.method:
        case Method.PACE_COUNT | Method.DISTANCE:
            error = numbers.results["error_percent"]
            rows = [
                (_("Distance told"), quantity(results["told_m"], metres)),
                (_("Distance measured"), quantity(results["measured_m"], metres)),
                (_("Difference"), _signed_m(results["error_m"], _("over"), _("under"))),
                (_("Error"), signed_score(error, Unit.PERCENT, numbers.side, results)),
            ]
        case Method.LEG:
            rows = [
                (_("Leg"), quantity(results["leg_m"], metres)),
                (_("Bearing of the leg, true"), words.bearing(results["leg_bearing_deg"])),
                (_("Start to arrival, straight"), quantity(results["walked_m"], metres)),
                (_("Bearing walked, true"), words.bearing(results["walked_bearing_deg"])),
                (_("Bearing error"), words.signed(results["bearing_error_deg"])),
                (_("Along the leg"), _signed_m(results["along_m"], _("past"), _("short"))),
                (_("Across the leg"), _signed_m(results["across_m"], _("right"), _("left"))),
                (_("Goal to arrival"), quantity(results["offset_m"], metres)),
            ]
        case Method.POSITION:
            rows = [(_("True point to plotted point"), quantity(results["distance_m"], metres))]
            if "bearing_deg" in results:
                towards = words.bearing(results["bearing_deg"])
                rows.append((_("Direction from the true point, true"), towards))
        case _other:
            return [(_("Steps met"), signed_score(0.0, Unit.STEPS, "", results))]
    expanded = quantity(numbers.expanded_u, numbers.unit)
    return [*rows, (_("Expanded uncertainty of the reference (k = 2)"), f"±{expanded}")]


def _signed_m(metres: float, positive: str, negative: str) -> str:
    size = quantity(abs(metres), Unit.METRES)
    if round(abs(metres), 1) == 0.0:
        return size
    return f"+{size} {positive}" if metres > 0.0 else f"{words.MINUS}{size} {negative}"
