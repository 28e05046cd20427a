"""What is written on drawings, and said of them to those who cannot see them."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from assessments.sheets import words
from coursework.wording import short_date

# The methods that lay a line through points on the ground.
THROUGH_POINTS = ("shadow-tip", "first-last", "equal-shadow")


@dataclass(frozen=True)
class DrawingWords:
    """The texts of a drawing in the language in force when it is made."""

    student: str
    asked: str
    method: str
    sun: str
    rule_sun: str
    true_north: str
    letters: dict[int, str]

    @classmethod
    def current(cls) -> "DrawingWords":
        return cls(
            student=_("Student"),
            asked=_("Asked for"),
            method=_("Method"),
            sun=pgettext("in the sky", "Sun"),
            rule_sun=_("Rule’s sun"),
            true_north=_("true north"),
            letters={
                0: pgettext("point of the compass", "N"),
                90: pgettext("point of the compass", "E"),
                180: pgettext("point of the compass", "S"),
                270: pgettext("point of the compass", "W"),
            },
        )


def star_names(method: str) -> tuple[str, ...]:
    """What a method by the stars sights, in the order of the drawing."""
    if method == "pole-star":
        return (_("Pole star"),)
    return _("Gacrux"), _("Acrux"), _("Dropped point")


def star_place(star: dict) -> str:
    """Bearing and height of one of them: '0.7°, 45.2° high'."""
    return _("%(azimuth)s, %(elevation)s high") % {
        "azimuth": words.bearing(star["azimuth_deg"]),
        "elevation": words.degrees(star["elevation_deg"]),
    }


def local_times(marks: list[dict], zone: str) -> list[str]:
    """Times of marks as clocks of `zone` show them; with the day where there are several.

    Seconds stand only where they were recorded; computed times are rounded to the minute.
    """
    local = []
    for mark in marks:
        moment = datetime.fromisoformat(mark["time"]).astimezone(ZoneInfo(zone))
        if not mark.get("recorded", True):
            moment = (moment + timedelta(seconds=30)).replace(second=0, microsecond=0)
        local.append(moment)
    day = "j M " if len({moment.date() for moment in local}) > 1 else ""
    return [short_date(at, f"{day}H:i:s" if at.second else f"{day}H:i") for at in local]


def legend_words(drawing: dict, *, marks: int, at: str = "") -> dict[str, str]:
    """The legend, by the kind of mark it explains, in the order it is printed."""
    method = drawing["method"]
    found = {
        "laid": _("the student’s line"),
        "asked": _("the true line asked for"),
        "method": _("the line the method gives when followed perfectly"),
    }
    uncertainty = drawing.get("uncertainty_deg")
    if uncertainty:
        found["wedge"] = _("how well the check knows the student’s line, ±%(angle)s") % {
            "angle": words.degrees(uncertainty)
        }
    if marks:
        found["shadow"] = _("shadow of the stick")
        if method in THROUGH_POINTS:
            found["mark"] = (
                _("mark at the tip of the shadow, local time")
                if method == "shadow-tip"
                else _("end of the length laid along the shadow, local time")
            )
            found["chord"] = _("line through the marks, taken as east and west")
        else:
            found["mark"] = _("tip of the shadow, local time")
    if drawing.get("stars"):
        found["star"] = _("a star at %(time)s: the rim is the horizon, the middle overhead") % {
            "time": at
        }
        if len(drawing["stars"]) > 1:
            found["dropped"] = _("the point four and a half lengths on")
        found["drop"] = _("straight down to the horizon")
        return found
    found["sun"] = _("the sun’s true bearing")
    if drawing.get("assumed_sun_deg") is not None:
        found["assumed-sun"] = _("the bearing at which the rule supposes the sun")
    return found


def drawing_title(drawing: dict) -> str:
    """One line that names the drawing."""
    if not drawing:
        return _("Empty compass rose to draw the result on")
    return _("The result seen from above, north up")


def drawing_description(drawing: dict, zone: str) -> str:
    """The drawing in sentences, with its numbers."""
    if not drawing:
        return _("Degrees clockwise from true north, with the foot of the stick in the middle.")
    sentences = [
        _("The student’s line points to %(laid)s, the line asked for to %(asked)s.")
        % {
            "laid": words.bearing(drawing["laid_deg"]),
            "asked": words.bearing(drawing["target_deg"]),
        },
        _("Followed perfectly, the method gives %(method)s.")
        % {"method": words.bearing(drawing["method_deg"])},
    ]
    marks = drawing.get("marks", [])
    times = local_times(marks, zone)
    if drawing.get("stars"):
        sentences += [
            _("At %(time)s: %(star)s, %(place)s.")
            % {"time": times[-1], "star": name, "place": star_place(star)}
            for star, name in zip(drawing["stars"], star_names(drawing["method"]), strict=True)
        ]
        return " ".join(sentences)
    sentences += [
        _("At %(time)s the sun stood at %(azimuth)s, %(elevation)s high.")
        % {
            "time": time,
            "azimuth": words.bearing(mark["sun_azimuth_deg"]),
            "elevation": words.degrees(mark["sun_elevation_deg"]),
        }
        for mark, time in zip(marks, times, strict=True)
    ]
    if drawing.get("assumed_sun_deg") is not None:
        sentences.append(
            _("The rule supposes it at %(angle)s.")
            % {"angle": words.bearing(drawing["assumed_sun_deg"])}
        )
    return " ".join(sentences)
