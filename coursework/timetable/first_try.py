"""A timetable put together session by session, from which the engine starts."""

import random
import time

from coursework.timetable.problem import Problem, overlap

Found = dict[int, tuple[int, tuple[int, ...]]]
TRIES = 20


def best_try(problem: Problem, sessions, choices, until: float) -> Found:
    """The one of several tries that places most, of those at the smallest cost.

    The order changes from try to try, always the same way; no more are made once all are placed,
    or at `until` on the clock that does not go back.
    """
    possible = sum(bool(some) for some in choices.values())
    best = first_try(problem, sessions, choices)
    for seed in range(1, TRIES):
        if len(best) == possible or time.monotonic() >= until:
            break
        found = first_try(problem, sessions, choices, seed=seed)
        best = max(best, found, key=lambda one: (len(one), -_cost(choices, one)))
    return best


def _cost(choices, found: Found) -> int:
    return sum(choices[number][index].cost for number, (index, _workers) in found.items())


def first_try(
    problem: Problem, sessions, choices, found: Found | None = None, *, seed: int = 0
) -> Found:
    """By number of session the number of its choice and its workers.

    Sessions with the fewest choices come first, each at its cheapest hour that is still free;
    what comes before is placed before. `found`: those that are placed already and stay. `seed`
    above 0: in another order, in which what comes before goes by what rests on it.
    """
    number_of = {(task.key, party.key): n for n, (task, party) in enumerate(sessions)}
    found = dict(found or {})
    before = {n: _before(problem, sessions[n], number_of) for n in range(len(sessions))}
    after = {n: [m for m in before if n in before[m]] for n in before}
    weight = {n: float(len(choices[n])) for n in before}
    if seed:
        chance = random.Random(seed)
        weight = {n: size * chance.uniform(0.5, 2.0) for n, size in weight.items()}
        # A lesson that many hours would do for waits for nothing less than what rests on it.
        weight |= {n: min(weight[m] for m in rest) - 0.01 for n, rest in after.items() if rest}
    waiting = sorted((n for n in before if n not in found), key=lambda n: (weight[n], n))
    while waiting:
        number = next((n for n in waiting if not set(before[n]) & set(waiting)), None)
        if number is None:
            break  # a ring: nothing of it can be placed
        waiting.remove(number)
        if all(n in found for n in before[number]):
            ends = [choices[n][found[n][0]].end for n in before[number]]
            later = [choices[n][found[n][0]].start for n in after[number] if n in found]
            limits = max(ends, default=None), min(later, default=None)
            if placed := _place(problem, sessions, choices, found, number, limits):
                found[number] = placed
    return found


def _before(problem: Problem, session, number_of) -> list[int]:
    task, party = session
    return [number_of[key] for key in problem.before(task, party.key) if key in number_of]


def _place(problem, sessions, choices, found, number, limits):
    begin, end = limits
    party = sessions[number][1].key
    order = sorted(
        range(len(choices[number])),
        key=lambda i: (choices[number][i].cost, choices[number][i].start, i),
    )
    standing = [(n, choices[n][index], workers) for n, (index, workers) in found.items()]
    for index in order:
        choice = choices[number][index]
        if (begin is not None and choice.start < begin) or (end is not None and choice.end > end):
            continue
        near = [one for one in standing if problem.clash(choice.stay, one[1].stay)]
        if any(problem.share(party, sessions[n][1].key) for n, _there, _workers in near):
            continue
        # Sessions side by side in a span count as if at once: a first try may be too careful.
        taken = [s for s in choice.place.busy if overlap(s, choice.stay[:2])]
        there = [one for one in near if one[1].place.key == choice.place.key]
        if len(there) + len(taken) >= choice.place.room:
            continue
        busy = {worker for _n, _there, workers in near for worker in workers}
        free = [worker.key for worker in choice.able if worker.key not in busy]
        if len(free) >= choice.needed:
            return index, tuple(free[: choice.needed])
    return None
