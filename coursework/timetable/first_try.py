"""A timetable put together session by session, from which the engine starts."""

from coursework.timetable.problem import Problem, overlap


def first_try(problem: Problem, sessions, choices) -> dict[int, int]:
    """By number of session the number of its choice.

    Sessions with the fewest choices come first, each at its cheapest hour that is still free;
    what comes before is placed before.
    """
    number_of = {(task.key, party.key): n for n, (task, party) in enumerate(sessions)}
    waiting = sorted(range(len(sessions)), key=lambda n: (len(choices[n]), n))
    found: dict[int, tuple[int, tuple[int, ...]]] = {}
    while waiting:
        number = next((n for n in waiting if not _before(sessions[n], number_of, waiting)), None)
        if number is None:
            break  # a ring: nothing of it can be placed
        waiting.remove(number)
        task, party = sessions[number]
        earlier = [number_of[k, party.key] for k in task.after if (k, party.key) in number_of]
        if all(n in found for n in earlier):
            begin = max((_end(problem, choices, found, n) for n in earlier), default=None)
            if placed := _place(problem, sessions, choices, found, number, begin):
                found[number] = placed
    return {number: index for number, (index, _workers) in found.items()}


def _before(session, number_of, waiting) -> bool:
    task, party = session
    return any(number_of.get((key, party.key)) in waiting for key in task.after)


def _end(problem: Problem, choices, found, number: int) -> int:
    return choices[number][found[number][0]].start + problem.minutes


def _place(problem, sessions, choices, found, number, begin):
    party = sessions[number][1].key
    order = sorted(
        range(len(choices[number])),
        key=lambda i: (choices[number][i].cost, choices[number][i].start, i),
    )
    for index in order:
        choice = choices[number][index]
        span = (choice.start, choice.start + problem.taken)
        if begin is not None and choice.start < begin:
            continue
        others = []
        for other, (picked, workers) in found.items():
            there = choices[other][picked]
            if overlap(span, (there.start, there.start + problem.taken)):
                others.append((sessions[other][1].key, there, workers))
        if any(whose == party for whose, _there, _workers in others):
            continue
        taken = [s for s in choice.place.busy if overlap(s, span)]
        # Sessions side by side in a span count as if at once: a first try may be too careful.
        room = choice.place.room - len(taken)
        if sum(there.place.key == choice.place.key for _p, there, _w in others) >= room:
            continue
        busy = {worker for _p, _there, workers in others for worker in workers}
        free = [worker.key for worker in choice.able if worker.key not in busy]
        if len(free) >= choice.needed:
            return index, tuple(free[: choice.needed])
    return None
