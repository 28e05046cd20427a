"""The engine: OR-tools CP-SAT on one thread with a fixed seed, so the same question has the
same answer. First as many sessions as possible are placed, then at the smallest sum of costs."""

import math
from collections import defaultdict
from dataclasses import dataclass

from coursework.timetable.first_try import first_try
from coursework.timetable.problem import (
    Answer,
    Missing,
    Party,
    Place,
    Placed,
    Problem,
    Task,
    Worker,
    overlap,
)
from coursework.timetable.staffing import in_order, name_staff

# Work is counted by the engine, not by the clock: a busy machine takes longer for the same.
PLACE_WORK, COST_WORK = 3.0, 3.0
LONGEST_S = 20.0


@dataclass(frozen=True)
class _Choice:
    place: Place
    start: int
    cost: int
    needed: int
    able: tuple[Worker, ...]


def solve(problem: Problem, *, work: float = 1.0) -> Answer:
    """The best timetable found, with how much better it could be. `work` scales the effort."""
    sessions = problem.sessions
    choices, reasons = {}, {}
    for number, (task, party) in enumerate(sessions):
        choices[number], reasons[number] = _choices(problem, task, party)
    model = _Model(problem, sessions, choices)
    most = model.place_most(work)
    cost_less = model.cost_least(work)
    picked = model.picked()
    workers = name_staff(problem, picked)
    placed = [
        Placed(
            start=choice.start,
            place=choice.place.key,
            task=sessions[number][0].key,
            party=sessions[number][1].key,
            workers=workers[number],
            cost=choice.cost,
        )
        for number, choice in picked.items()
        if number in workers
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
    known = {other.key for other in problem.tasks}
    before = [key for key in task.after & known if (key, party.key) not in done]
    return "before" if before else "full"


def _choices(problem: Problem, task: Task, party: Party) -> tuple[list[_Choice], str]:
    """Where and when a session could be, and if nowhere the reason."""
    found, reason = [], "no-hour"
    order = ["no-hour", "party-busy", "place-busy", "no-staff"]
    for place in problem.places:
        needed = problem.workers_needed(party, place)
        for start, cost in sorted(task.starts.get(place.key, {}).items()):
            span = (start, start + problem.taken)
            able = tuple(
                worker
                for worker in problem.workers
                if not any(overlap(span, busy) for busy in worker.busy)
            )
            if any(overlap(span, busy) for busy in party.busy) or not _keeps_order(
                problem, task, party, start
            ):
                why = "party-busy"
            elif _most(span, place.busy) >= place.room:
                why = "place-busy"
            elif len(able) < needed:
                why = "no-staff"
            else:
                found.append(_Choice(place, start, cost, needed, able))
                continue
            # The one that came nearest to a place is the one to tell.
            reason = max(reason, why, key=order.index)
    return found, "" if found else reason


def _keeps_order(problem: Problem, task: Task, party: Party, start: int) -> bool:
    """Whether a start fits the sessions of the party that stand already."""
    for (other, whose), (begin, end) in problem.fixed.items():
        if whose != party.key:
            continue
        if other in task.after and start < end:
            return False
        later = next((t for t in problem.tasks if t.key == other), None)
        if later is not None and task.key in later.after and start + problem.minutes > begin:
            return False
    return True


def _most(span, busy) -> int:
    """The largest number of busy spans at one instant of a span."""
    begins = [span[0], *(max(one[0], span[0]) for one in busy if overlap(span, one))]
    return max(sum(one[0] <= at < one[1] for one in busy) for at in begins)


class _Model:
    """Which session where and when. Staff are counted here; `staffing` then names them."""

    def __init__(self, problem: Problem, sessions, choices) -> None:
        # Loading the engine takes seconds: only whoever asks for a timetable waits for it.
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.problem, self.sessions, self.choices = problem, sessions, choices
        self.model = cp_model.CpModel()
        self.pick = {
            (number, index): self.model.new_bool_var(f"x{number}_{index}")
            for number, some in choices.items()
            for index in range(len(some))
        }
        for number in choices:
            self.model.add_at_most_one(self._of(number))
        self._resources()
        self._orders()
        self.best: dict[tuple[int, int], bool] = {}

    def _of(self, number: int) -> list:
        return [self.pick[number, index] for index in range(len(self.choices[number]))]

    def _resources(self) -> None:
        """Parties once, places as often as they have room, staff as many as there are."""
        problem, model = self.problem, self.model
        instants = {choice.start for some in self.choices.values() for choice in some}
        # Room and staff change where something that stands begins.
        instants |= {begin for place in problem.places for begin, _end in place.busy}
        instants |= {begin for worker in problem.workers for begin, _end in worker.busy}
        for at in sorted(instants):
            of_party, of_place, staff = defaultdict(list), defaultdict(list), []
            for (number, index), pick in self.pick.items():
                choice = self.choices[number][index]
                if choice.start <= at < choice.start + problem.taken:
                    of_party[self.sessions[number][1].key].append(pick)
                    of_place[choice.place.key].append(pick)
                    staff.append(choice.needed * pick)
            for picks in of_party.values():
                model.add_at_most_one(picks)
            for place in problem.places:
                busy = sum(begin <= at < end for begin, end in place.busy)
                if picks := of_place[place.key]:
                    model.add(sum(picks) <= max(0, place.room - busy))
            if staff:
                free = sum(
                    not any(begin <= at < end for begin, end in worker.busy)
                    for worker in problem.workers
                )
                model.add(sum(staff) <= free)

    def _orders(self) -> None:
        """By any instant no more has begun than what comes before it has ended by then."""
        number_of = {(task.key, party.key): n for n, (task, party) in enumerate(self.sessions)}
        for number, (task, party) in enumerate(self.sessions):
            for key in sorted(task.after):
                earlier = number_of.get((key, party.key))
                if earlier is None:
                    continue
                before = list(enumerate(self.choices[earlier]))
                for at in sorted({choice.start for choice in self.choices[number]}):
                    begun = [
                        self.pick[number, index]
                        for index, choice in enumerate(self.choices[number])
                        if choice.start <= at
                    ]
                    ended = [
                        self.pick[earlier, index]
                        for index, choice in before
                        if choice.start + self.problem.minutes <= at
                    ]
                    self.model.add(sum(begun) <= sum(ended))

    def _run(self, work: float):
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = work
        solver.parameters.max_time_in_seconds = LONGEST_S
        self.model.clear_hints()
        for key, value in self.best.items():
            self.model.add_hint(self.pick[key], value)
        status = solver.solve(self.model)
        if status not in (self.cp.OPTIMAL, self.cp.FEASIBLE):
            return None
        self.best = {key: bool(solver.value(pick)) for key, pick in self.pick.items()}
        return solver

    @property
    def count(self) -> int:
        return sum(self.best.values())

    @property
    def cost(self) -> int:
        return sum(
            self.choices[number][index].cost
            for (number, index), picked in self.best.items()
            if picked
        )

    def place_most(self, work: float) -> int:
        """How many sessions could be placed at most; `best` holds those that are."""
        tried = first_try(self.problem, self.sessions, self.choices)
        self.best = {key: tried.get(key[0]) == key[1] for key in self.pick}
        most = sum(bool(some) for some in self.choices.values())
        if self.count == most:
            return most
        self.model.maximize(sum(self.pick.values()))
        reached = dict(self.best)
        solver = self._run(PLACE_WORK * work)
        if solver is None:
            return most
        if self.count < sum(reached.values()):
            self.best = reached
        return min(most, math.floor(solver.best_objective_bound + 1e-6))

    def cost_least(self, work: float) -> int:
        """Better hours for as many sessions; how much lower the costs could be at most."""
        if not self.count:
            return 0
        self.model.add(sum(self.pick.values()) >= self.count)
        self.model.minimize(
            sum(
                self.choices[number][index].cost * pick
                for (number, index), pick in self.pick.items()
            )
        )
        reached = dict(self.best), self.cost
        solver = self._run(COST_WORK * work)
        if solver is None:
            return reached[1]
        if self.cost > reached[1]:
            self.best = reached[0]
        return self.cost - max(0, math.ceil(solver.best_objective_bound - 1e-6))

    def picked(self) -> dict[int, _Choice]:
        """The choice of each session that is placed, by its number."""
        return {
            number: self.choices[number][index]
            for (number, index), picked in self.best.items()
            if picked
        }
