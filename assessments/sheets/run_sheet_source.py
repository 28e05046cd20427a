"""What stands on the run sheet of a day, made from what is stored."""

import math
from collections.abc import Iterable
from datetime import date, datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.sheets import words
from assessments.sheets.emergency_source import (
    decision_words,
    printed_positions,
    rally_words,
    safe_heading_words,
)
from assessments.sheets.observed import local_moment
from assessments.sheets.run_sheet import Moment, RunDrill, RunLesson, RunSheet, RunSite
from coursework import cautions
from coursework.conflicts.plan import students_by
from coursework.hours_of_drill import ErrorOfDrill, error_of_drill
from coursework.models import Decision, Drill, PlannedLesson, SchoolSettings, Site
from coursework.models.bookings import Booking
from coursework.sun import sun_at, sun_of_day
from coursework.templatetags.coursework import local_hour


def run_sheet(
    day: date, drills: Iterable[Drill], lessons: Iterable[PlannedLesson], *, school, now: datetime
) -> RunSheet:
    """Of the drills and planned lessons of one date at one school, at least one.

    drills: with exercise and its lessons, site, cohort, lead, assistants and groups at hand;
    lessons: with theirs.
    """
    drills, lessons = list(drills), list(lessons)
    held = sorted([*drills, *lessons], key=lambda one: (one.starts_at, one.is_lesson, one.pk))
    settings = SchoolSettings.of(school)
    sites = list({one.site_id: one.site for one in held if one.site is not None}.values())
    students, decisions = _students(held), _decisions(drills)
    return RunSheet(
        school=school.name,
        day=day,
        emergency_number=settings.emergency_number,
        nearest_help=settings.nearest_help,
        held=tuple(
            _lesson(one, students[one.ref])
            if one.is_lesson
            else _drill(one, students[one.ref], decisions.get(one.pk))
            for one in held
        ),
        sites=tuple(_site(site, day) for site in sites),
        cautions=_cautions(held),
        printed=_("printed %(when)s") % {"when": local_moment(now, held[0].zone)},
    )


def _students(held: list[Booking]) -> dict[str, int]:
    """How many students each takes out, by its `ref`, in two queries."""
    groups = {group.pk for one in held for group in one.groups.all()}
    of_cohort, of_group = students_by({one.cohort_id for one in held}, groups)
    found = {}
    for one in held:
        people, some = of_cohort[one.cohort_id], [of_group[g.pk] for g in one.groups.all()]
        found[one.ref] = len(people & set().union(*some) if some else people)
    return found


def _decisions(drills: list[Drill]) -> dict[int, Decision]:
    """The last go-or-stay decision of each drill."""
    rows = Decision.objects.filter(drill__in=drills).select_related("decided_by", "site")
    return {row.drill_id: row for row in rows.order_by("decided_at", "id")}


def _drill(drill: Drill, students: int, decision: Decision | None) -> RunDrill:
    exercise = drill.exercise
    lessons = list(exercise.lessons.all())
    kit = dict.fromkeys(line for lesson in lessons for line in lesson.kit_list)
    own = dict.fromkeys(line for lesson in lessons for line in lesson.caution_list)
    return RunDrill(
        begins=local_hour(drill.starts_at, drill.site.zone),
        ends=local_hour(drill.ends_at, drill.site.zone),
        exercise=exercise.title,
        site=drill.site.name,
        cohort=drill.cohort.name,
        lead=drill.lead.name if drill.lead else "",
        assistants=tuple(person.name for person in drill.assistants.all()),
        groups=tuple(group.name for group in drill.groups.all()),
        students=ngettext("%s student", "%s students", students) % students,
        counts=drill.assessed,
        cancelled=_("Cancelled. %s") % drill.cancel_reason if drill.is_cancelled else "",
        decision=decision_words(decision, drill),
        check=str(drill.get_planned_check_display()),
        wet_plan=drill.wet_plan,
        kit=tuple(kit),
        cautions=tuple(own),
        moments=tuple(_moments(drill)),
        tolerance=exercise.tolerance_in_words if exercise.is_by_sun else "",
        wants_wrong_hours=exercise.wants_wrong_hours,
        exceptions=tuple(f"{row.sentence} {row.reason}" for row in drill.plan_exceptions.all()),
    )


def _lesson(planned: PlannedLesson, students: int) -> RunLesson:
    lesson = planned.lesson
    return RunLesson(
        begins=local_hour(planned.starts_at, planned.zone),
        ends=local_hour(planned.ends_at, planned.zone),
        title=lesson.title,
        where=planned.place_name,
        cohort=planned.cohort.name,
        lead=planned.lead.name if planned.lead else "",
        assistants=tuple(person.name for person in planned.assistants.all()),
        groups=tuple(group.name for group in planned.groups.all()),
        students=ngettext("%s student", "%s students", students) % students,
        cancelled=_("Cancelled. %s") % planned.cancel_reason if planned.is_cancelled else "",
        note=planned.note,
        kit=tuple(lesson.kit_list),
        cautions=tuple(lesson.caution_list),
        exceptions=tuple(f"{row.sentence} {row.reason}" for row in planned.plan_exceptions.all()),
    )


def _moments(drill: Drill) -> list[Moment]:
    """Start, middle and end: the sun, and what a flawless line begun then is off by."""
    middle = drill.starts_at + (drill.ends_at - drill.starts_at) / 2
    times = [(_("Start"), drill.starts_at), (_("Middle"), middle), (_("End"), drill.ends_at)]
    if drill.exercise.is_travel:
        times = times[:1]
    return [_moment(drill, name, at) for name, at in times]


def _moment(drill: Drill, name: str, at: datetime) -> Moment:
    sun = sun_at(drill.site, at)
    place = _("%(bearing)s, %(height)s up") % {
        "bearing": words.bearing(sun.azimuth_deg, 0),
        "height": words.degrees(sun.elevation_deg, 0),
    }
    if not sun.is_up:
        place = _("behind the skyline") if sun.is_behind_skyline else _("down")
    error = scatter = ""
    if drill.exercise.is_by_sun:
        found = error_at(drill, at)
        error, scatter = _("not usable"), ""
        if found.worst_deg is not None:
            error = words.turn(found.worst_deg)
            size = float(found.scatter_deg[0])
            scatter = "" if math.isnan(size) else f"±{words.degrees(size)}"
    return Moment(
        name=name, time=local_hour(at, drill.site.zone), sun=place, error=error, scatter=scatter
    )


def error_at(drill: Drill, at: datetime) -> ErrorOfDrill:
    """The method's error of a line begun at one instant of a drill, in a drill of five minutes."""
    short = Drill(exercise=drill.exercise, site=drill.site, starts_at=at, minutes=5)
    found = error_of_drill(short)
    return ErrorOfDrill(found.moments[:1], found.error_deg[:1], found.scatter_deg[:1])


def _site(site: Site, day: date) -> RunSite:
    sun = sun_of_day(site, day)
    return RunSite(
        name=site.name,
        positions=printed_positions(site.position),
        sun=_("its calendar skips this date") if sun is None else _sun_words(sun, site),
        skyline_counts=bool(site.horizon),
        rally=rally_words(site),
        safe_heading=safe_heading_words(site),
        hazards=site.hazards,
        emergency=site.emergency,
        lost_steps=tuple(site.lost_step_list),
    )


def _sun_words(sun, site: Site) -> str:
    if sun.state == "down all day":
        return _("below the skyline all day")
    noon = _("highest %(time)s") % {"time": local_hour(sun.noon, site.zone)}
    parts = [_("up %(time)s") % {"time": local_hour(t, site.zone)} for t in sun.rises]
    parts.append(noon)
    parts += [_("down %(time)s") % {"time": local_hour(t, site.zone)} for t in sun.sets]
    return ", ".join(parts)


def _cautions(held: list[Booking]) -> tuple[str, ...]:
    """The usual ones of all methods of the day, each once; lessons have those of any method."""
    methods = dict.fromkeys("" if one.is_lesson else one.exercise.method for one in held)
    said = dict.fromkeys(str(one) for method in methods for one in cautions.cautions(method))
    return tuple(said)
