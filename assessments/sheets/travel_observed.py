"""What was observed where no line was laid, as rows of label and value."""

from collections.abc import Mapping

from django.utils.translation import gettext as _

from assessments.observations import local_time
from assessments.sheets.moments import local_moment
from coursework.coordinates import decimal_text
from coursework.models import Method
from solar.travel import MEASURED_U_PERCENT, POINT_U_M


def travel_rows(inputs: Mapping[str, str]) -> list[tuple[str, str]]:
    """Label and value of everything recorded; what was left blank shows what was taken."""
    zone = inputs["zone"]
    at = local_moment(local_time(inputs["times"], zone), zone, to_the_second=True)
    rows = [(_("Done at"), at)]
    match inputs["method"]:
        case Method.PACE_COUNT:
            rows += [
                (_("Paces counted"), inputs["paces"]),
                (_("Paces for 100 m"), inputs["paces_per_100_m"]),
                *_measured(inputs),
            ]
        case Method.DISTANCE:
            rows += [(_("Distance told"), _metres(inputs["told_m"])), *_measured(inputs)]
        case Method.LEG:
            rows += [
                (_("Starting point"), _position(inputs, "start")),
                (_("Goal"), _position(inputs, "goal")),
                (_("Arrival"), _position(inputs, "arrival")),
                (_("Start and goal known to"), _point_u(inputs["point_u_m"])),
                (_("Arrival known to"), _point_u(inputs["arrival_u_m"])),
            ]
        case Method.POSITION:
            rows += [
                (_("True point"), _position(inputs, "true")),
                (_("Plotted point"), _position(inputs, "plotted")),
                (_("True point known to"), _point_u(inputs["point_u_m"])),
            ]
    return rows


def _measured(inputs: Mapping[str, str]) -> list[tuple[str, str]]:
    known = (
        _metres(inputs["measured_u_m"])
        if inputs["measured_u_m"]
        else f"{inputs['measured_u_percent'] or f'{MEASURED_U_PERCENT:g}'} %"
    )
    return [
        (_("Distance measured"), _metres(inputs["measured_m"])),
        (_("Known to (standard uncertainty)"), known),
    ]


def _metres(text: str) -> str:
    return _("%(metres)s m") % {"metres": text}


def _point_u(text: str) -> str:
    metres = _metres(text or f"{POINT_U_M:g}")
    return _("%(metres)s (standard uncertainty)") % {"metres": metres}


def _position(inputs: Mapping[str, str], name: str) -> str:
    return decimal_text((float(inputs[f"{name}_lat"]), float(inputs[f"{name}_lon"])))
