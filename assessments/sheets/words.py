"""Results in plain sentences: the same on pages and on paper.

Angles are degrees, errors positive to the right (clockwise). Sentences start with a capital
and end with a full stop; parts of sentences do neither.
"""

from dataclasses import dataclass
from functools import lru_cache

from django.utils.formats import number_format
from django.utils.translation import get_language, pgettext
from django.utils.translation import gettext as _

from solar.bearings import wrap_deg
from solar.decision import sideways_miss_m

MINUS = "−"


@dataclass(frozen=True)
class Numbers:
    """What a score says of one attempt; None where a quantity does not belong to it."""

    method: str
    target_deg: float
    laid_deg: float
    error_deg: float
    method_error_deg: float
    own_error_deg: float
    expanded_uncertainty_deg: float
    tolerance_deg: float
    verdict: str
    judged_on: str = "result"
    rule: str = "guarded"
    counting_error_deg: float | None = None
    declared_correction_deg: float | None = None
    correction_error_deg: float | None = None
    marking_scatter_deg: float | None = None

    @property
    def judged_deg(self) -> float:
        return self.own_error_deg if self.judged_on == "own" else self.error_deg


def _fixed(value: float, places: int) -> str:
    # Adding nothing turns a negative zero into a plain one.
    return _written(round(value, places) + 0.0, places, get_language())


@lru_cache(maxsize=8192)
def _written(value: float, places: int, _language: str | None) -> str:
    # Angles to a tenth of a degree come again and again, and a number takes its time.
    return number_format(value, decimal_pos=places)


def degrees(value: float, places: int = 1) -> str:
    """'2.1°'; a true minus sign for negative ones, and never a negative zero."""
    return f"{_fixed(value, places)}°".replace("-", MINUS)


def bearing(value: float, places: int = 1) -> str:
    """A bearing such as '342.3°', in [0, 360) after rounding too."""
    return degrees(round(value % 360.0, places) % 360.0, places)


def side(value: float, places: int = 1) -> str:
    """'left', 'right', or nothing where the rounded angle has no side (none, or half a turn)."""
    size = round(abs(value), places)
    if size == 0.0 or size == 180.0:
        return ""
    if value > 0:
        return pgettext("beside an angle", "right")
    return pgettext("beside an angle", "left")


def turn(value: float, places: int = 1) -> str:
    """An angle with its side: '2.1° to the right', '0.0°', '180.0°, the opposite way'."""
    size = degrees(abs(value), places)
    if round(abs(value), places) == 180.0:
        return _("%(angle)s, the opposite way") % {"angle": size}
    if not side(value, places):
        return size
    if value > 0:
        return _("%(angle)s to the right") % {"angle": size}
    return _("%(angle)s to the left") % {"angle": size}


def signed(value: float, places: int = 1) -> str:
    """For tables: '+2.1° right', '−17.7° left', '0.0°'."""
    words = side(value, places)
    if not words:
        return degrees(abs(value), places)
    sign = "+" if value > 0 else MINUS
    return f"{sign}{degrees(abs(value), places)} {words}"


def method_part(method_error_deg: float) -> str:
    if round(abs(method_error_deg), 1) == 0.0:
        return _("the method itself was right at this hour (0.0°)")
    if not side(method_error_deg):
        return _("the method itself pointed the opposite way at this hour (180.0°)")
    angle = degrees(abs(method_error_deg))
    if method_error_deg > 0:
        return _("the method itself was %(angle)s off to the right at this hour") % {"angle": angle}
    return _("the method itself was %(angle)s off to the left at this hour") % {"angle": angle}


def own_part(own_error_deg: float) -> str:
    if round(abs(own_error_deg), 1) == 0.0:
        return _("the student added nothing (0.0°)")
    if not side(own_error_deg):
        return _("the student turned it the opposite way (180.0°)")
    angle = degrees(abs(own_error_deg))
    if own_error_deg > 0:
        return _("the student added %(angle)s to the right") % {"angle": angle}
    return _("the student added %(angle)s to the left") % {"angle": angle}


def split_sentence(numbers: Numbers) -> str:
    """What the method did and what the student did.

    With a declared correction the whole error is the student's, so that is what is said.
    """
    if numbers.declared_correction_deg is not None:
        return capital(
            _("%(method)s; the student declared a correction, so the whole error is their own.")
            % {"method": method_part(numbers.method_error_deg)}
        )
    parts = {
        "method": method_part(numbers.method_error_deg),
        "own": own_part(numbers.own_error_deg),
    }
    return capital(_("%(method)s; %(own)s.") % parts)


def result_sentence(numbers: Numbers) -> str:
    bearings = {"laid": bearing(numbers.laid_deg), "target": bearing(numbers.target_deg)}
    if round(abs(numbers.error_deg), 1) == 0.0:
        return _("The line points to %(laid)s, which is what was asked for.") % bearings
    return _("The line points to %(laid)s; asked for was %(target)s: the result is %(turn)s.") % (
        bearings | {"turn": turn(numbers.error_deg)}
    )


def counting_sentence(numbers: Numbers) -> str:
    """For hands above the horizon; nothing where the split was not made."""
    if numbers.counting_error_deg is None:
        return ""
    # A declared correction is laid out before, so it is no part of laying badly.
    rest = numbers.error_deg - numbers.method_error_deg - numbers.counting_error_deg
    rest -= numbers.declared_correction_deg or 0.0
    return _("Counting the hands: %(counting)s; laying the line: %(laying)s.") % {
        "counting": turn(numbers.counting_error_deg),
        "laying": turn(float(wrap_deg(rest))),
    }


def correction_sentence(numbers: Numbers) -> str:
    """For a correction declared before the check; nothing where there was none."""
    declared, error = numbers.declared_correction_deg, numbers.correction_error_deg
    if declared is None or error is None:
        return ""
    said = {"declared": turn(declared), "error": turn(error)}
    if numbers.counting_error_deg is not None:
        # Laying is told apart from counting in the sentence about counting.
        return (
            _("Declared before the check: %(declared)s. Choosing the correction: %(error)s.") % said
        )
    laying = float(wrap_deg(numbers.own_error_deg - error))
    return _(
        "Declared before the check: %(declared)s. Choosing the correction: %(error)s; "
        "laying the line: %(laying)s."
    ) % (said | {"laying": turn(laying)})


def uncertainty_part(expanded_uncertainty_deg: float) -> str:
    if round(expanded_uncertainty_deg, 1) == 0.0:
        return _("the check is taken as exact (±0.0°)")
    return _("the check is good to ±%(angle)s") % {"angle": degrees(expanded_uncertainty_deg)}


def uncertainty_sentence(numbers: Numbers) -> str:
    return capital(uncertainty_part(numbers.expanded_uncertainty_deg)) + "."


def verdict_name(verdict: str) -> str:
    names = {
        "within": _("within the standard"),
        "outside": _("outside the standard"),
        "too close to call": _("too close to call"),
    }
    return names[verdict]


def rule_name(rule: str) -> str:
    return {"guarded": _("guarded rule"), "plain": _("plain rule")}[rule]


def judged_name(judged_on: str) -> str:
    return {"result": _("the result"), "own": _("the student’s own error")}[judged_on]


def _telling_places(numbers: Numbers) -> int:
    """As many decimals as it takes for the printed figures to agree with the verdict."""
    size, guard = abs(numbers.judged_deg), numbers.expanded_uncertainty_deg
    guard = 0.0 if numbers.rule == "plain" else guard
    for places in (1, 2):
        shown, spread = round(size, places), round(guard, places)
        low, high = numbers.tolerance_deg - spread, numbers.tolerance_deg + spread
        found = "within" if shown <= low else "outside" if shown > high else "too close to call"
        if found == numbers.verdict:
            return places
    return 3


def verdict_part(numbers: Numbers) -> str:
    """'too close to call: 14.2° against 15° with a check good to ±3.1° (guarded rule)'."""
    places = _telling_places(numbers)
    said = {
        "verdict": verdict_name(numbers.verdict),
        "judged": degrees(abs(numbers.judged_deg), places),
        "tolerance": tolerance(numbers.tolerance_deg),
        "uncertainty": degrees(numbers.expanded_uncertainty_deg, places),
        "rule": rule_name(numbers.rule),
    }
    if numbers.rule == "plain":
        return _("%(verdict)s: %(judged)s against %(tolerance)s (%(rule)s)") % said
    if round(numbers.expanded_uncertainty_deg, places) == 0.0:
        return (
            _(
                "%(verdict)s: %(judged)s against %(tolerance)s "
                "with a check taken as exact (%(rule)s)"
            )
            % said
        )
    return (
        _(
            "%(verdict)s: %(judged)s against %(tolerance)s "
            "with a check good to ±%(uncertainty)s (%(rule)s)"
        )
        % said
    )


def verdict_sentence(numbers: Numbers) -> str:
    return capital(verdict_part(numbers)) + "."


def tolerance(value: float) -> str:
    """A tolerance as it was set: '15°', '7.5°'."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    places = len(text.partition(".")[2])
    return degrees(value, places)


def standard_sentence(*, target_deg: float, tolerance_deg: float, judged_on: str, rule: str) -> str:
    """What is asked for, how near, and by which rule."""
    said = {
        "tolerance": tolerance(tolerance_deg),
        "target": bearing(target_deg, 1 if round(target_deg % 1.0, 1) else 0),
    }
    if judged_on == "own":
        first = _(
            "Asked for: true bearing %(target)s. Judged is the student’s own error, the method’s "
            "part taken out: within %(tolerance)s to either side."
        )
    else:
        first = _(
            "Asked for: true bearing %(target)s. Judged is the result: within %(tolerance)s "
            "to either side."
        )
    rules = {
        "guarded": _(
            "Guarded rule: the uncertainty of the check counts, so a result near the limit is "
            "too close to call."
        ),
        "plain": _("Plain rule: the uncertainty of the check is not used."),
    }
    return f"{first % said} {rules[rule]}"


def sideways_m(error_deg: float, distance_m: float = 1000.0) -> float:
    """Metres to the right of where one should be after `distance_m` along the laid line."""
    return float(sideways_miss_m(error_deg, distance_m=distance_m))


def miss_sentence(error_deg: float) -> str:
    """The sideways miss after one kilometre, and a word where the line leads backwards."""
    metres = sideways_m(error_deg)
    size = {"size": _("%(metres)s m") % {"metres": _fixed(abs(metres), 0)}}
    if round(abs(metres)) == 0:
        miss = _("After 1 km along this line: no sideways miss (0 m).")
    elif metres > 0:
        miss = _("After 1 km along this line: %(size)s to the right.") % size
    else:
        miss = _("After 1 km along this line: %(size)s to the left.") % size
    if abs(error_deg) <= 90.0:
        return miss
    return f"{miss} {_('The line leads away from where it should.')}"


def scatter_sentence(marking_scatter_deg: float | None) -> str:
    """How finely the marks could be set; nothing for methods without marks."""
    if marking_scatter_deg is None:
        return ""
    return _(
        "Marks this far apart let a careful line scatter by about %(angle)s from one try to "
        "the next (standard deviation)."
    ) % {"angle": degrees(marking_scatter_deg)}


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def sentences(numbers: Numbers) -> list[str]:
    """Everything that is to be said of an attempt, in the order it is read; verdict apart."""
    found = [
        result_sentence(numbers),
        split_sentence(numbers),
        counting_sentence(numbers),
        correction_sentence(numbers),
        uncertainty_sentence(numbers),
        miss_sentence(numbers.error_deg),
        scatter_sentence(numbers.marking_scatter_deg),
    ]
    return [sentence for sentence in found if sentence]
