"""Who is double-booked, how many students one instructor has, whose approval has lapsed."""

from collections.abc import Iterator

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from coursework.conflicts.found import Conflict
from coursework.conflicts.plan import Plan, Surroundings
from coursework.models import Approval, Drill
from coursework.wording import date_format, in_one_line


def _when(drill: Drill) -> str:
    return f"{drill.local_start:%H:%M}–{drill.local_end:%H:%M}"


def booked_words(other: Drill) -> dict[str, str]:
    """What is said of a drill that somebody is at already."""
    return {
        "drill": other.exercise.title,
        "site": other.site.name,
        "when": _when(other),
        "cohort": other.cohort.name,
    }


def booked(plan: Plan, around: Surroundings) -> Iterator[Conflict]:
    """People, groups and the site that are wanted elsewhere at the same time."""
    start = plan.held_when
    for other in around.others:
        busy = {person.pk for person in other.assistants.all()} | {other.lead_id}
        for person in plan.staff:
            if person.pk in busy:
                yield Conflict(
                    "person",
                    f"{person.pk}@{other.pk},{start}",
                    _("%(name)s is at “%(drill)s” (%(site)s, %(when)s) at the same time.")
                    % (booked_words(other) | {"name": person.name}),
                )
        if students := around.students & around.students_of[other.pk]:
            yield _group(plan, other, len(students), start)
    yield from _site(plan, around, start)


def _group(plan: Plan, other: Drill, number: int, start: str) -> Conflict:
    about = f"{','.join(str(group.pk) for group in plan.groups)}@{other.pk},{start}"
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


def most_at_once(plan: Plan, others: list[Drill]) -> int:
    """The largest number of the drills that run at one instant of the plan."""
    begins = [plan.drill.starts_at, *(max(o.starts_at, plan.drill.starts_at) for o in others)]
    return max(sum(o.starts_at <= at < o.ends_at for o in others) for at in begins)


def _site(plan: Plan, around: Surroundings, start: str) -> Iterator[Conflict]:
    site = plan.drill.site
    there = [other for other in around.others if other.site_id == site.pk]
    if most_at_once(plan, there) < site.drills_at_once:
        return
    others = in_one_line(
        _("“%(drill)s” (%(when)s)") % {"drill": other.exercise.title, "when": _when(other)}
        for other in there
    )
    room = ngettext(
        "%(site)s has room for %(room)s drill at a time: %(others)s.",
        "%(site)s has room for %(room)s drills at a time: %(others)s.",
        site.drills_at_once,
    )
    yield Conflict(
        "site",
        f"s{site.pk},{start},{'/'.join(str(other.pk) for other in there)}",
        room % {"site": site.name, "room": site.drills_at_once, "others": others},
    )


def students_per_instructor(plan: Plan, around: Surroundings) -> int:
    """The site's limit, or the school's where the site has none of its own."""
    own = plan.drill.site.students_per_instructor
    return around.settings.students_per_instructor if own is None else own


def ratio(plan: Plan, around: Surroundings) -> Iterator[Conflict]:
    """Whether someone leads, and whether there are enough instructors for the students."""
    if plan.lead is None:
        yield Conflict("lead", "none", _("Nobody is named to lead it."))
    instructors, students = len(plan.staff), len(around.students)
    limit = students_per_instructor(plan, around)
    if instructors and students > limit * instructors:
        yield Conflict(
            "ratio",
            f"{students}/{instructors}>{limit},s{plan.drill.site_id}",
            _(
                "%(students)s students for %(instructors)s at %(site)s, where one instructor has "
                "%(limit)s at most."
            )
            % {
                "students": students,
                "instructors": ngettext("%s instructor", "%s instructors", instructors)
                % instructors,
                "site": plan.drill.site.name,
                "limit": limit,
            },
        )


def approvals(plan: Plan, around: Surroundings) -> Iterator[Conflict]:
    """Approvals of the staff that will have lapsed by the day of the drill."""
    for person in plan.staff:
        for kind, last in sorted(around.approvals.get(person.pk, {}).items()):
            if last < plan.day:
                yield Conflict(
                    "approval",
                    f"{person.pk},{kind},{last:%Y%m%d}",
                    _("%(name)s: %(what)s holds until %(day)s only, before the drill.")
                    % {
                        "name": person.name,
                        "what": Approval.Kind(kind).label,
                        "day": date_format(last, "j F Y"),
                    },
                )


def untaught(plan: Plan, around: Surroundings) -> Iterator[Conflict]:
    """Lessons that come before the exercise and have not been held."""
    if around.untaught:
        yield Conflict(
            "lesson",
            ",".join(str(lesson.pk) for lesson in around.untaught),
            _("Not held with this cohort yet: %(lessons)s.")
            % {"lessons": ", ".join(lesson.title for lesson in around.untaught)},
        )


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
