"""What was observed and checked, as rows of label and value, from one row of the batch format."""

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext as _

from assessments.observations import local_time
from assessments.sheets import words
from assessments.sheets.instrument_words import instrument_check_words
from assessments.sheets.moments import local_moment, zone_words
from assessments.sheets.north_words import eastward
from assessments.sheets.travel_observed import travel_rows
from coursework.models.methods import is_travel
from coursework.wording import date_format

__all__ = ["local_moment", "observation_rows", "zone_words"]


def observation_rows(inputs: Mapping[str, str], facts: Mapping) -> list[tuple[str, str]]:
    """Label and value of everything recorded; what was left blank is left out."""
    if is_travel(inputs["method"]):
        return travel_rows(inputs)
    zone = inputs["zone"]
    moments = [
        local_moment(local_time(word, zone), zone, to_the_second=True)
        for word in inputs.get("times", "").split(";")
        if word
    ]
    rows = [(_time_label(inputs["method"], n, len(moments)), at) for n, at in enumerate(moments)]
    rows += _method_rows(inputs, facts)
    rows += _check_rows(inputs, facts)
    return [(label, value) for label, value in rows if value]


def _time_label(method: str, n: int, count: int) -> str:
    if method == "hands":
        return _("Hands counted at")
    if method == "watch":
        return _("Time shown")
    if method in ("pole-star", "southern-cross"):
        return _("Sighted at")
    if method == "shortest-shadow":
        return _("Shortest shadow marked")
    if method == "first-last":
        return _("Shadow %(number)s marked") % {"number": n + 1}
    return _("Mark %(number)s of %(count)s") % {"number": n + 1, "count": count}


def _method_rows(inputs: Mapping[str, str], facts: Mapping) -> list[tuple[str, str]]:
    method = inputs["method"]
    rows = []
    if method == "first-last" and inputs.get("order"):
        orders = {
            "day": _("rise and set of that day, computed"),
            "night": _("set of that day and the next rise, computed"),
        }
        day = date.fromisoformat(inputs["date"])
        rows.append((_("Date"), date_format(day, "j F Y")))
        rows.append((_("Shadows"), orders[inputs["order"]]))
    if method == "hands":
        halves = {"forenoon": _("forenoon"), "afternoon": _("afternoon")}
        measured = facts.get("hand_measured", bool(inputs.get("degrees_per_hand")))
        rows += [
            (_("Hands counted"), inputs.get("hands", "")),
            (
                _("A hand covers"),
                _degrees(inputs, "degrees_per_hand") if measured else _("not measured"),
            ),
            (_("Rule"), _a_hand(_degrees(inputs, "rule_deg_per_hand") or words.tolerance(15.0))),
            (_("Half of the day"), halves.get(inputs.get("half", ""), "")),
        ]
    if method == "watch":
        summer = {"yes": _("yes"), "no": _("no")}
        rows.append((_("Summer time"), summer.get(inputs.get("summer_time", ""), "")))
    if method in ("shadow-tip", "first-last", "equal-shadow", "shortest-shadow"):
        rows.append((_("Stick"), _("%(length)s m") % {"length": inputs.get("stick_m") or "1"}))
        rows.append((_("Marks set to"), _("%(size)s mm") % {"size": inputs.get("mark_u_mm") or 5}))
    declared = inputs.get("student_correction_deg", "")
    if declared:
        rows.append((_("Correction declared"), words.turn(float(declared))))
    return rows


def _check_rows(inputs: Mapping[str, str], facts: Mapping) -> list[tuple[str, str]]:
    check, zone = inputs["check"], inputs["zone"]
    names = {
        "compass": (_("compass"), _("Compass reading")),
        "shadow": (_("angle from the shadow of a plumb line"), _("Clockwise from the shadow")),
        "landmark": (_("angle from a reference mark"), _("Clockwise from the mark")),
        "direct": (_("true bearing measured directly"), _("True bearing")),
    }
    name, reading = names[check]
    at = inputs.get("check_time", "")
    rows = [
        (_("Checked by"), name),
        (reading, _degrees(inputs, "reading_deg")),
        (
            _("Check made"),
            local_moment(local_time(at, zone), zone, to_the_second=True) if at else "",
        ),
        (_("Instrument"), facts.get("instrument") or ""),
        (_("Last check of the instrument"), instrument_check_words(facts)),
    ]
    if check == "landmark":
        rows.append((_("Reference mark"), facts.get("mark") or ""))
        rows.append((_("True bearing of the mark"), _degrees(inputs, "landmark_deg")))
        u = _degrees(inputs, "landmark_u_deg")
        rows.append((_("Standard uncertainty of that bearing"), u))
    if check == "compass":
        rows.append((_("Instrument correction"), _turn(inputs, "correction_deg")))
        rows.append((_("Declination, instructor’s own"), _eastward(inputs, "declination_deg")))
    u = _degrees(inputs, "reading_u_deg")
    rows.append((_("Standard uncertainty of a reading"), u))
    return rows


def _degrees(inputs: Mapping[str, str], name: str) -> str:
    text = inputs.get(name, "")
    return words.tolerance(float(text)) if text else ""


def _turn(inputs: Mapping[str, str], name: str) -> str:
    text = inputs.get(name, "")
    return words.turn(float(text)) if text else ""


def _eastward(inputs: Mapping[str, str], name: str) -> str:
    text = inputs.get(name, "")
    return eastward(float(text)) if text else ""


def _a_hand(degrees: str) -> str:
    return _("%(degrees)s a hand") % {"degrees": degrees}
