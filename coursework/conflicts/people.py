"""Who is double-booked, how many students one instructor has, whose approval has lapsed.

Of drills and of lessons alike; what comes before either is here too.
"""

from collections.abc import Iterator
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from coursework.conflicts.found import Conflict
from coursework.conflicts.plan import AnyPlan, LessonPlan, Plan, Surroundings
from coursework.models import Approval, Person, PlannedLesson, Site
from coursework.models.bookings import Booking
from coursework.wording import date_format, in_one_line


def _when(booking: Booking) -> str:
    return f"{booking.local_start:%H:%M}–{booking.local_end:%H:%M}"


def booked_words(other: Booking) -> dict[str, str]:
    """What is said of a drill or a lesson that somebody is at already."""
    return {
        "drill": other.title,
        "site": other.place_name,
        "when": _when(other),
        "cohort": other.cohort.name,
    }


def booked(plan: AnyPlan, around: Surroundings) -> Iterator[Conflict]:
    """People, groups and the site that are wanted elsewhere at the same time."""
    start = plan.held_when
    for other in around.others:
        busy = {person.pk for person in other.assistants.all()} | {other.lead_id}
        for person in plan.staff:
            if person.pk in busy:
                yield Conflict(
                    "person",
                    f"{person.pk}@{other.ref},{start}",
                    _("%(name)s is at “%(drill)s” (%(site)s, %(when)s) at the same time.")
                    % (booked_words(other) | {"name": person.name}),
                )
        if students := around.students & around.students_of[other.ref]:
            yield _group(plan, other, len(students), start)
    yield from _site(plan, around, start)


def _group(plan: AnyPlan, other: Booking, number: int, start: str) -> Conflict:
    about = f"{','.join(str(group.pk) for group in plan.groups)}@{other.ref},{start}"
    said = booked_words(other)
    shared = {group.pk for group in other.groups.all()} & {group.pk for group in plan.groups}
    names = [group.name for group in plan.groups if group.pk in shared]
    if names:
        sentence = _("%(names)s: at “%(drill)s” (%(site)s, %(when)s) at the same time.")
        return Conflict("group", about, sentence % (said | {"names": ", ".join(names)}))
    sentence = ngettext(
        "%(number)s student is at “%(drill)s” of %(cohort)s (%(site)s, %(when)s) at the same time.",
        "%(number)s students are at “%(drill)s” of %(cohort)s (%(site)s, %(when)s) at the same "
        "time.",
        number,
    )
    return Conflict("group", about, sentence % (said | {"number": number}))


def most_at_once(plan: AnyPlan, others: list[Booking]) -> int:
    """The largest number of the others that run at one instant of the plan."""
    start = plan.booking.starts_at
    begins = [start, *(max(o.starts_at, start) for o in others)]
    return max(sum(o.starts_at <= at < o.ends_at for o in others) for at in begins)


def _site(plan: AnyPlan, around: Surroundings, start: str) -> Iterator[Conflict]:
    site = plan.booking.site
    if site is None:
        return
    there = [other for other in around.others if other.site_id == site.pk]
    if most_at_once(plan, there) < site.drills_at_once:
        return
    others = in_one_line(
        _("“%(drill)s” (%(when)s)") % {"drill": other.title, "when": _when(other)}
        for other in there
    )
    room = ngettext(
        "%(site)s has room for %(room)s drill or lesson at a time: %(others)s.",
        "%(site)s has room for %(room)s drills or lessons at a time: %(others)s.",
        site.drills_at_once,
    )
    yield Conflict(
        "site",
        f"s{site.pk},{start},{'/'.join(other.ref for other in there)}",
        room % {"site": site.name, "room": site.drills_at_once, "others": others},
    )


def students_per_instructor(site: Site, around: Surroundings) -> int:
    """The site's limit, or the school's where the site has none of its own."""
    own = site.students_per_instructor
    return around.settings.students_per_instructor if own is None else own


def dates(plan: AnyPlan) -> Iterator[Conflict]:
    """A day before the cohort begins or after it ends: a mistyped year is seldom meant."""
    cohort, day = plan.booking.cohort, plan.day
    if not cohort.starts_on <= day <= cohort.ends_on:
        yield Conflict(
            "dates",
            f"{day},{cohort.starts_on},{cohort.ends_on}",
            _("%(day)s is outside of the cohort’s dates, %(first)s to %(last)s.")
            % {
                "day": date_format(day, "j F Y"),
                "first": date_format(cohort.starts_on, "j F Y"),
                "last": date_format(cohort.ends_on, "j F Y"),
            },
        )


def ratio(plan: AnyPlan, around: Surroundings) -> Iterator[Conflict]:
    """Whether someone leads, and whether there are enough instructors for the students.

    Under a roof, at no site, one instructor is enough for any number.
    """
    if plan.lead is None:
        yield Conflict("lead", "none", _("Nobody is named to lead it."))
    site = plan.booking.site
    instructors, students = len(plan.staff), len(around.students)
    if site is None or not instructors:
        return
    limit = students_per_instructor(site, around)
    if students > limit * instructors:
        yield Conflict(
            "ratio",
            f"{students}/{instructors}>{limit},s{site.pk}",
            _(
                "%(students)s students for %(instructors)s at %(site)s, where one instructor has "
                "%(limit)s at most."
            )
            % {
                "students": students,
                "instructors": ngettext("%s instructor", "%s instructors", instructors)
                % instructors,
                "site": site.name,
                "limit": limit,
            },
        )


def approvals(plan: Plan, around: Surroundings) -> Iterator[Conflict]:
    """Approvals of the staff that will have lapsed by the day of the drill."""
    for person in plan.staff:
        for kind, last in sorted(around.approvals.get(person.pk, {}).items()):
            if last < plan.day:
                yield _lapsed(
                    person,
                    kind,
                    last,
                    _("%(name)s: %(what)s holds until %(day)s only, before the drill."),
                )


def first_aid(plan: LessonPlan, around: Surroundings) -> Iterator[Conflict]:
    """First aid of the staff that will have lapsed by the day of a lesson out at a site."""
    if plan.planned.site is None:
        return
    for person in plan.staff:
        last = around.approvals.get(person.pk, {}).get(Approval.Kind.FIRST_AID)
        if last is not None and last < plan.day:
            yield _lapsed(
                person,
                Approval.Kind.FIRST_AID,
                last,
                _("%(name)s: %(what)s holds until %(day)s only, before the lesson."),
            )


def _lapsed(person: Person, kind: str, last: date, sentence: str) -> Conflict:
    said = {
        "name": person.name,
        "what": Approval.Kind(kind).label,
        "day": date_format(last, "j F Y"),
    }
    return Conflict("approval", f"{person.pk},{kind},{last:%Y%m%d}", sentence % said)


def untaught(plan: AnyPlan, around: Surroundings) -> Iterator[Conflict]:
    """Lessons that come before and are neither held nor planned to end before it."""
    if around.untaught:
        yield Conflict(
            "lesson",
            ",".join(str(lesson.pk) for lesson in around.untaught),
            _("Not held with this cohort yet: %(lessons)s.")
            % {"lessons": ", ".join(lesson.title for lesson in around.untaught)},
        )


def awaited_words(around: Surroundings) -> str:
    """The lessons that it rests on and that are planned before it; blank where there are none."""
    if not around.awaited:
        return ""
    return _("Rests on lessons that are planned before it and not held yet: %(lessons)s.") % {
        "lessons": in_one_line(_planned_words(one) for one in around.awaited)
    }


def _planned_words(one: PlannedLesson) -> str:
    return _("“%(lesson)s” (%(day)s, %(when)s)") % {
        "lesson": one.title,
        "day": date_format(one.local_start.date(), "D j F"),
        "when": _when(one),
    }


def heat(plan: Plan, around: Surroundings) -> Iterator[Conflict]:
    """The heat the lead expects against the school's limits; nothing is forecast."""
    expected, limits = plan.drill.heat_expected, around.settings.limits
    if expected is None or not (limits.asks_to_stay(expected) or limits.asks_for_care(expected)):
        return
    yield Conflict(
        "heat",
        f"{expected:g}",
        _("Heat expected: %s") % limits.verdict(expected),
    )
