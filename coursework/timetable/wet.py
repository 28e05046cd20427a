"""What is done instead where the sun of a session is not to be had."""

from collections import defaultdict
from collections.abc import Sequence

from django.utils.translation import gettext as _

from coursework.models import Exercise, Lesson
from coursework.timetable.problem import Placed

LONGEST = 300


def wet_plans(
    placed: Sequence[Placed],
    exercises: dict[int, Exercise],
    *,
    indoors: Sequence[Exercise],
    lessons: Sequence[Lesson],
    minutes: int,
) -> dict[tuple[int, int], str]:
    """By task and party of the sessions that need the sun or the stars, what to do instead.

    First the lessons and then the exercises that need neither (`indoors`) and that the party
    has not been given yet, each in their order; begun again where there are not enough. Only
    lessons that fit into a session. Same hour, same staff.
    """
    instead = [
        _("The lesson “%s”, under a roof.") % lesson.title
        for lesson in lessons
        if lesson.minutes <= minutes
    ]
    instead += [_("“%s”, which needs no sun.") % exercise.title for exercise in indoors]
    given: dict[int, int] = defaultdict(int)
    found = {}
    for one in sorted(placed):
        if exercises[one.task].is_travel or not instead:
            continue
        text = instead[given[one.party] % len(instead)]
        given[one.party] += 1
        found[one.task, one.party] = text[:LONGEST]
    return found
