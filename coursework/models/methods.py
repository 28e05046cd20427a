"""What kinds of exercise there are, in which unit each is judged, and by which rule."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Unit(models.TextChoices):
    """What a tolerance and a score are counted in."""

    DEGREES = "deg", _("degrees")
    PERCENT = "percent", _("percent")
    METRES = "m", _("metres")
    STEPS = "steps", _("steps")


class Method(models.TextChoices):
    """What is done. Those that lay a line have the values of the batch file's `method` column."""

    SHADOW_TIP = "shadow-tip", _("shadow-tip line")
    FIRST_LAST = "first-last", _("first and last shadow")
    EQUAL_SHADOW = "equal-shadow", _("equal shadows")
    SHORTEST_SHADOW = "shortest-shadow", _("shortest shadow")
    HANDS = "hands", _("hands above the horizon")
    WATCH = "watch", _("watch face")
    POLE_STAR = "pole-star", _("pole star")
    SOUTHERN_CROSS = "southern-cross", _("southern cross")
    PACE_COUNT = "pace-count", _("pace count")
    DISTANCE = "distance", _("distance estimate")
    LEG = "compass-leg", _("compass leg")
    POSITION = "position", _("resection or self-location")
    CHECKLIST = "checklist", _("performance checklist")


STAR_METHODS = frozenset({Method.POLE_STAR, Method.SOUTHERN_CROSS})
DISTANCE_METHODS = frozenset({Method.PACE_COUNT, Method.DISTANCE})
TRAVEL_METHODS = DISTANCE_METHODS | {Method.LEG, Method.POSITION, Method.CHECKLIST}
"""Exercises in which no line is laid."""


class JudgedOn(models.TextChoices):
    RESULT = "result", _("the result: where the line points, or how far off the answer is")
    OWN = "own", _("the student’s own error: the method’s part taken out")
    BEARING = "bearing", _("on a compass leg, the bearing that was walked")
    ARRIVAL = "arrival", _("on a compass leg, the distance from the goal on arrival")


class Rule(models.TextChoices):
    GUARDED = "guarded", _("guarded: the uncertainty of the check counts")
    PLAIN = "plain", _("plain: the uncertainty of the check is not used")


TOLERANCE_RANGES = {
    Unit.DEGREES: (0.1, 180.0),
    Unit.PERCENT: (0.1, 100.0),
    Unit.METRES: (0.5, 5000.0),
}
"""Smallest and largest tolerance by unit, both allowed."""


def is_travel(method: str) -> bool:
    """Whether no line is laid: distances, legs, positions and checklists."""
    return method in TRAVEL_METHODS


def is_by_stars(method: str) -> bool:
    return method in STAR_METHODS


def is_by_sun(method: str) -> bool:
    return not is_travel(method) and not is_by_stars(method)


def judged_choices(method: str) -> tuple[str, ...]:
    """What an exercise of a method can be judged on, the usual one first."""
    if method == Method.LEG:
        return JudgedOn.ARRIVAL.value, JudgedOn.BEARING.value
    if is_travel(method):
        return (JudgedOn.RESULT.value,)
    return JudgedOn.RESULT.value, JudgedOn.OWN.value


def unused_fields(method: str) -> tuple[str, ...]:
    """Fields of an exercise that say nothing for its method, and keep their first value."""
    unused = []
    if len(judged_choices(method)) == 1:
        unused.append("judged_on")
    if is_travel(method):
        unused.append("target_deg")
    if method == Method.CHECKLIST:
        unused += ["tolerance", "rule"]
    if is_by_stars(method):
        unused.append("forenoon_and_afternoon")
    if not is_by_sun(method):
        unused.append("wants_wrong_hours")
    return tuple(unused)


def unit_of(method: str, judged_on: str = "") -> str:
    """The unit of tolerance and score (a value of `Unit`)."""
    if method in DISTANCE_METHODS:
        return Unit.PERCENT.value
    if method == Method.POSITION or (method == Method.LEG and judged_on != JudgedOn.BEARING):
        return Unit.METRES.value
    return (Unit.STEPS if method == Method.CHECKLIST else Unit.DEGREES).value
