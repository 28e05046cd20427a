"""Light, the method's error and the check: what the sun and the stars allow at the hour."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import numpy as np
from django.utils.translation import gettext as _

from coursework.conflicts.found import Conflict
from coursework.conflicts.plan import Plan
from coursework.hours_of_drill import error_of_drill, is_up, sun_height_deg
from coursework.models import JudgedOn, Method, PlannedCheck, Rule
from coursework.models.methods import Unit
from coursework.sun import sun_of_day
from coursework.templatetags.coursework import degrees, local_hour, side
from solar import stars
from solar.checks import CLOCK_U_S, MARK_BEARING_U_DEG, READING_U_DEG
from solar.decision import COVERAGE
from solar.declination import declination
from solar.ephemeris import sun_position
from solar.methods import pole_star

DARK_DEG = -6.0
"""Height of the sun at which the brighter stars can be used: navigators take star sights in
nautical twilight, from 6 degrees down (common practice, no source)."""
LIGHT_LEFT = timedelta(minutes=30)
"""Daylight that is left at the end to count and walk back (common practice, no source)."""


def light(plan: Plan) -> Iterator[Conflict]:
    """The sun up all the time where it is needed, down where the stars are."""
    drill, exercise = plan.drill, plan.drill.exercise
    about = plan.held_where_and_when
    if exercise.is_by_stars:
        heights = sun_height_deg(drill)
        if heights.max() > DARK_DEG:
            yield Conflict(
                "dark",
                about,
                _("It is not dark: the sun is no more than %(depth)s below the horizon.")
                % {"depth": degrees(-float(heights.max()))}
                if heights.max() < 0.0
                else _("It is not dark: the sun is up."),
            )
        if not _stars_there(plan):
            yield Conflict("stars", about, _("The stars for it do not stand above the horizon."))
    # For first and last shadow the wait begins before the sun is up.
    elif exercise.is_by_sun and exercise.method != Method.FIRST_LAST:
        up = is_up(drill)
        if not up.all():
            sentence = (
                _("The sun is behind the skyline for part of the time.")
                if up.any()
                else _("The sun is below the skyline all the time.")
            )
            yield Conflict("light", about, sentence)


def _stars_there(plan: Plan) -> bool:
    site, instant = plan.drill.site, np.array([np.datetime64(_naive(plan), "us")])
    if plan.drill.exercise.method == Method.POLE_STAR:
        return site.latitude_deg >= pole_star.SOUTHERNMOST_DEG
    _azimuth, height = stars.horizontal(
        stars.apparent_direction(stars.ACRUX, instant),
        instant,
        latitude_deg=site.latitude_deg,
        longitude_deg=site.longitude_deg,
    )
    return bool(height[0] > 0.0)


def _naive(plan: Plan) -> datetime:
    return plan.drill.starts_at.astimezone(UTC).replace(tzinfo=None)


def early_dark(plan: Plan) -> Iterator[Conflict]:
    """Little light left at the end, of what is not held by the stars."""
    drill = plan.drill
    if drill.exercise.is_by_stars or drill.exercise.method == Method.FIRST_LAST:
        return
    sun = sun_of_day(drill.site, drill.local_start.date())
    if sun is None or sun.state == "up all day":
        return
    if sun.state == "down all day":
        sentence = _("The sun does not come over the skyline that day.")
        yield Conflict("dusk", plan.held_where_and_when, sentence)
        return
    if not sun.sets or sun.sets[-1] >= drill.ends_at + LIGHT_LEFT:
        return
    zone = drill.site.zone
    yield Conflict(
        "dusk",
        plan.held_where_and_when,
        _(
            "It gets dark early: the sun is down at %(set)s and the drill ends at %(end)s; "
            "%(margin)s minutes of light should be left."
        )
        % {
            "set": local_hour(sun.sets[-1], zone),
            "end": local_hour(drill.ends_at, zone),
            "margin": LIGHT_LEFT.seconds // 60,
        },
    )


def method_error(plan: Plan) -> Iterator[Conflict]:
    """The method's own error against the tolerance, at the moments at which lines are begun."""
    drill, exercise = plan.drill, plan.drill.exercise
    if not exercise.is_by_sun:
        return
    about = plan.held_where_and_when
    found = error_of_drill(drill)
    if found.worst_deg is None:
        yield Conflict("method", about, _("The method cannot be used at that hour."))
        return
    tolerance = exercise.tolerance_in_words
    if exercise.wants_wrong_hours:
        if not found.is_reliably_beyond(exercise.tolerance):
            moment, error_deg, spread_deg = found.least_sure
            if spread_deg:
                sentence = _(
                    "The exercise wants hours at which the method is reliably wrong, and at "
                    "%(time)s it is off by %(error)s, which careful marks change by up to "
                    "%(spread)s, with a tolerance of %(tolerance)s."
                )
            else:
                sentence = _(
                    "The exercise wants hours at which the method is reliably wrong, and at "
                    "%(time)s it is off by %(error)s with a tolerance of %(tolerance)s."
                )
            said = {
                "time": local_hour(moment, drill.site.zone),
                "error": side(error_deg),
                "spread": degrees(spread_deg),
                "tolerance": tolerance,
            }
            yield Conflict("method", about, sentence % said)
    elif exercise.judged_on != JudgedOn.OWN and abs(found.worst_deg) > exercise.tolerance:
        yield Conflict(
            "method",
            about,
            _("The method itself is off by %(error)s at %(time)s; the tolerance is %(tolerance)s.")
            % {
                "error": side(found.worst_deg),
                "time": local_hour(found.worst_at, drill.site.zone),
                "tolerance": tolerance,
            },
        )


def check(plan: Plan) -> Iterator[Conflict]:
    """A check that can never show a line within the tolerance, since U >= T."""
    drill, exercise = plan.drill, plan.drill.exercise
    if exercise.is_travel or exercise.unit != Unit.DEGREES or exercise.rule != Rule.GUARDED:
        return
    about = f"{drill.planned_check or 'any'},{plan.held_where_and_when}"
    kinds = [drill.planned_check] if drill.planned_check else _usual_checks(plan)
    unsure = {kind: _expanded_u_deg(plan, kind) for kind in kinds}
    coarse = {kind: u for kind, u in unsure.items() if u is None or u >= exercise.tolerance}
    if drill.planned_check == PlannedCheck.LANDMARK and not drill.site.marks.exists():
        yield Conflict("check", about, _("The site has no reference mark to check by."))
    elif len(coarse) == len(unsure):
        parts = [
            _("%(check)s ±%(u)s") % {"check": PlannedCheck(kind).label, "u": degrees(u)}
            if u is not None
            else _("%(check)s: no magnetic model holds that date")
            % {"check": PlannedCheck(kind).label}
            for kind, u in coarse.items()
        ]
        yield Conflict(
            "check",
            about,
            _("No line can be shown to be within %(tolerance)s by this check: %(parts)s.")
            % {"tolerance": exercise.tolerance_in_words, "parts": ", ".join(parts)},
        )


def _usual_checks(plan: Plan) -> list[str]:
    kinds = [PlannedCheck.COMPASS]
    if plan.drill.exercise.is_by_sun:
        kinds.append(PlannedCheck.SHADOW)
    if plan.drill.site.marks.exists():
        kinds.append(PlannedCheck.LANDMARK)
    return [kind.value for kind in kinds]


def _expanded_u_deg(plan: Plan, kind: str) -> float | None:
    """Expanded uncertainty of a check with the usual instrument; None without a model."""
    u = READING_U_DEG[kind]
    site, instant = plan.drill.site, np.datetime64(_naive(plan), "us")
    place = {
        "latitude_deg": site.latitude_deg,
        "longitude_deg": site.longitude_deg,
        "elevation_m": site.elevation_m,
    }
    if kind == PlannedCheck.COMPASS:
        field = declination(np.array([instant]), **place)
        if not field.model[0] or np.isnan(field.uncertainty_deg[0]):
            return None
        u = np.hypot(u, field.uncertainty_deg[0])
    elif kind == PlannedCheck.LANDMARK:
        # Whoever picks the best known of the marks can decide most.
        known = [mark.bearing_u_deg for mark in site.marks.all()]
        u = np.hypot(u, min(known, default=MARK_BEARING_U_DEG))
    else:
        minute = instant + np.array([0, 60], "timedelta64[s]")
        azimuth, _height = sun_position(minute, **place)
        turned = (azimuth[1] - azimuth[0] + 180.0) % 360.0 - 180.0
        u = np.hypot(u, turned / 60.0 * CLOCK_U_S)
    return float(COVERAGE * u)
