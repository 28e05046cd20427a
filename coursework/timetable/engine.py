"""The engine: OR-tools CP-SAT. First as many sessions as possible are placed, then at the
smallest sum of costs. It stops at the latest when its time is up, with the best found so far."""

import time
from dataclasses import dataclass

from coursework.timetable.first_try import first_try
from coursework.timetable.model import Model
from coursework.timetable.problem import (
    Answer,
    Missing,
    Party,
    Place,
    Placed,
    Problem,
    Stay,
    Task,
    Worker,
    overlap,
)
from coursework.timetable.staffing import in_order, name_staff

LONGEST_S = 7.0
"""What a whole answer may take by the clock, however busy the machine is."""


@dataclass(frozen=True)
class Choice:
    """One place and start of a session, with the workers who could be there."""

    place: Place
    start: int
    end: int
    stay: Stay
    cost: int
    needed: int
    able: tuple[Worker, ...]


def solve(problem: Problem, *, work: float = 1.0, longest_s: float = LONGEST_S) -> Answer:
    """The best timetable found, with how much better it could be. `work` scales the effort."""
    until = time.monotonic() + longest_s
    sessions = problem.sessions
    choices, reasons = {}, {}
    for number, (task, party) in enumerate(sessions):
        choices[number], reasons[number] = _choices(problem, task, party)
    _leave_hopeless(problem, sessions, choices)
    model = Model(problem, sessions, choices)
    most = model.place_most(work, until)
    cost_less = model.cost_least(work, until)
    picked = {number: choices[number][index] for number, index in model.picked.items()}
    workers = name_staff(problem, picked)
    found = {n: (model.picked[n], workers[n]) for n in picked if n in workers}
    if len(found) < len(picked):
        # The engine counts staff; where naming them failed, there may be another hour.
        found = first_try(problem, sessions, choices, found)
        cost = sum(choices[number][index].cost for number, (index, _workers) in found.items())
        # The bound is one for as many as were picked; of fewer, nothing is known but nought.
        cost_less = cost if len(found) < len(picked) else cost_less + max(0, cost - model.cost)
    placed = [
        Placed(
            start=choices[number][index].start,
            place=choices[number][index].place.key,
            task=sessions[number][0].key,
            party=sessions[number][1].key,
            workers=named,
            cost=choices[number][index].cost,
        )
        for number, (index, named) in found.items()
    ]
    placed = in_order(problem, placed)
    done = {(one.task, one.party) for one in placed} | set(problem.fixed)
    missing = [
        Missing(
            task=task.key,
            party=party.key,
            why=reasons[number] or _why_left(problem, task, party, done),
        )
        for number, (task, party) in enumerate(sessions)
        if (task.key, party.key) not in done
    ]
    return Answer(
        placed=tuple(sorted(placed)),
        missing=tuple(missing),
        more=most - len(placed),
        cost_less=cost_less,
    )


def _why_left(problem: Problem, task: Task, party: Party, done: set) -> str:
    return "full" if set(problem.before(task, party.key)) <= done else "before"


def _choices(problem: Problem, task: Task, party: Party) -> tuple[list[Choice], str]:
    """Where and when a session could be, and if nowhere the reason."""
    found, reason = [], "no-hour"
    order = ["no-hour", "party-busy", "place-busy", "no-staff"]
    for place in problem.places:
        needed = problem.workers_needed(party, place)
        for start, cost in sorted(task.starts.get(place.key, {}).items()):
            stay = problem.stay(task, start, place.key)
            end = start + problem.length(task)
            able = tuple(worker for worker in problem.workers if problem.is_free(worker, stay))
            if not problem.is_free(party, stay) or not _keeps_order(problem, task, party, stay):
                why = "party-busy"
            elif _most(stay[:2], place.busy) >= place.room:
                why = "place-busy"
            elif len(able) < needed:
                why = "no-staff"
            else:
                found.append(Choice(place, start, end, stay, cost, needed, able))
                continue
            # The one that came nearest to a place is the one to tell.
            reason = max(reason, why, key=order.index)
    return found, "" if found else reason


def _leave_hopeless(problem: Problem, sessions, choices: dict[int, list[Choice]]) -> None:
    """No choice is left of what rests on something that can be placed nowhere."""
    number_of = {(task.key, party.key): n for n, (task, party) in enumerate(sessions)}

    def may_be_done(key) -> bool:
        return key in problem.fixed or bool(choices.get(number_of.get(key, -1)))

    left = True
    while left:
        left = False
        for number, (task, party) in enumerate(sessions):
            if choices[number] and not all(map(may_be_done, problem.before(task, party.key))):
                choices[number], left = [], True


def _keeps_order(problem: Problem, task: Task, party: Party, stay: Stay) -> bool:
    """Whether a start fits the sessions of the party that stand already."""
    end = stay.begin + problem.length(task)
    tasks = {one.key: one for one in problem.tasks}
    for (other, whose), (begins, ends) in problem.fixed.items():
        if other not in tasks or not problem.share(whose, party.key):
            continue
        if (other, whose) in problem.before(task, party.key) and stay.begin < ends:
            return False
        if (task.key, party.key) in problem.before(tasks[other], whose) and end > begins:
            return False
    return True


def _most(span, busy) -> int:
    """The largest number of busy spans at one instant of a span."""
    begins = [span[0], *(max(one[0], span[0]) for one in busy if overlap(span, one))]
    return max(sum(one[0] <= at < one[1] for one in busy) for at in begins)
