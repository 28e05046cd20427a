"""The rules of a timetable, read off an answer alone."""

from itertools import combinations

from coursework.timetable.problem import WHOLE, Problem


def broken_rules(asked: Problem, answer, kept=()) -> list[str]:
    """The rules of the question that an answer breaks; knows nothing of how it was found.

    `kept`: sessions that stand as they are. They may break rules among themselves, not with
    what is placed beside them.
    """
    return [
        *_sessions(asked, answer, kept),
        *(rule for one in answer.placed for rule in _alone(asked, one)),
        *_pairs(asked, answer.placed, kept),
        *_room(asked, answer.placed, kept),
        *_order(asked, answer.placed, kept),
    ]


def _length(asked, one) -> int:
    task = next(task for task in asked.tasks if task.key == one.task)
    return asked.minutes if task.minutes is None else task.minutes


def _span(asked, one):
    return one.start, one.start + _length(asked, one) + asked.gap


def _way(asked, here, there) -> int:
    return asked.ways.get((here, there), asked.ways.get((there, here), 0)) if here != there else 0


def _meet(first, second, way=0) -> bool:
    return first[0] < second[1] + way and second[0] < first[1] + way


def _parties(asked, key):
    """Everybody, or the one group."""
    everybody = asked.whole is not None and key == WHOLE
    return {party.key for party in asked.parties if everybody or party.key == key}


def _sessions(asked, answer, kept):
    named = [(one.task, one.party) for one in answer.placed]
    named += [(one.task, one.party) for one in answer.missing]
    wanted = {
        (task.key, key)
        for task in asked.tasks
        for key in ([WHOLE] if task.together and asked.whole else [p.key for p in asked.parties])
    }
    wanted -= set(asked.fixed) | {(one.task, one.party) for one in kept}
    if sorted(named) != sorted(wanted):
        yield "every session is placed once or said to be missing"


def _alone(asked, one):
    tasks = {task.key: task for task in asked.tasks}
    parties = {party.key: party for party in asked.parties}
    span = _span(asked, one)

    def taken(who) -> bool:
        return any(_meet(span, busy) for busy in who.busy) or any(
            _meet(span, away[:2], _way(asked, one.place, away.place)) for away in who.away
        )

    if tasks[one.task].starts.get(one.place, {}).get(one.start) != one.cost:
        yield "at a start that is allowed, at its cost"
    if any(taken(parties[key]) for key in _parties(asked, one.party)):
        yield "not while the party is elsewhere or on its way"
    if any(taken(worker) for worker in asked.workers if worker.key in one.workers):
        yield "not while a worker is elsewhere or on their way"
    place = next(place for place in asked.places if place.key == one.place)
    size = asked.whole.size if asked.whole and one.party == WHOLE else parties[one.party].size
    if not one.workers or size > place.students_per_instructor * len(set(one.workers)):
        yield "enough workers for the students"


def _pairs(asked, placed, kept):
    both = [*combinations(placed, 2), *((one, other) for one in placed for other in kept)]
    for first, second in both:
        way = _way(asked, first.place, second.place)
        if not _meet(_span(asked, first), _span(asked, second), way):
            continue
        if _parties(asked, first.party) & _parties(asked, second.party):
            yield "a party is at one place at a time and has time for the way"
        if set(first.workers) & set(second.workers):
            yield "a worker is at one place at a time and has time for the way"


def _at_once(spans) -> int:
    """The largest number of spans that hold one of their own begins."""
    return max((sum(begin <= at < end for begin, end in spans) for at, _end in spans), default=0)


def _room(asked, placed, kept):
    for place in asked.places:
        own = [_span(asked, one) for one in placed if one.place == place.key]
        stands = [*place.busy, *(_span(asked, one) for one in kept if one.place == place.key)]
        if own and _at_once([*own, *stands]) > max(place.room, _at_once(stands)):
            yield "no more at a place than it has room for"


def _order(asked, placed, kept):
    tasks = {task.key: task for task in asked.tasks}
    spans = {
        (one.task, one.party): (one.start, one.start + _length(asked, one))
        for one in [*placed, *kept]
    } | asked.fixed
    for one in placed:
        begin, end = spans[one.task, one.party]
        for before in tasks[one.task].after & tasks.keys():
            key = WHOLE if tasks[before].together and asked.whole else one.party
            if spans.get((before, key), (0, 10**9))[1] > begin:
                yield "what comes before is done before"
        for (other, party), (starts, _ends) in spans.items():
            shared = _parties(asked, one.party) & _parties(asked, party)
            if one.task in tasks[other].after and shared and end > starts:
                yield "before what stands already and rests on it"
