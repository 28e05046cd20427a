"""The model of a timetable for CP-SAT: which session where and when."""

import math
import time
from collections import defaultdict

from coursework.timetable.first_try import best_try
from coursework.timetable.problem import Problem

# Work is counted by the engine where the clock allows: the same question has the same answer
# then, and a busy machine takes longer for the same.
PLACE_WORK, COST_WORK = 3.0, 3.0
_PLACE_SHARE = 0.5
_TRIES_SHARE = 0.25
_SPARE_S = 0.5
"""Left of the time for naming staff."""


class Model:
    """Staff are counted here, and `staffing` then names them; `choices` by number of session.

    After `place_most` and `cost_least`, `picked` has the number of the choice of each session
    that is placed.
    """

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
        # What may run within an hour: whoever asks for an instant looks at these alone.
        self._about = defaultdict(list)
        for (number, index), pick in self.pick.items():
            choice = choices[number][index]
            for hour in range(choice.stay.begin // 60, (choice.stay.end - 1) // 60 + 1):
                self._about[hour].append((pick, choice, number))
        self._taken = {number: self._parties_of(number) for number in choices}
        for number in choices:
            self.model.add_at_most_one(self._of(number))
        self._at_once()
        self._on_the_way()
        self._orders()
        self.best: dict[tuple[int, int], bool] = {}

    def _of(self, number: int) -> list:
        return [self.pick[number, index] for index in range(len(self.choices[number]))]

    def _running(self, at: int, place: int | None = None) -> list:
        """(pick, choice, number) of all that would be running at an instant, at a place."""
        return [
            one
            for one in self._about[at // 60]
            if one[1].stay.begin <= at < one[1].stay.end
            and (place is None or one[1].place.key == place)
        ]

    def _parties_once(self, running) -> None:
        """Of things that nobody can do two of, each party does one."""
        of_party = defaultdict(list)
        for pick, _choice, number in running:
            for party in self._taken[number]:
                of_party[party].append(pick)
        for picks in of_party.values():
            if len(picks) > 1:
                self.model.add_at_most_one(picks)

    def _parties_of(self, number: int) -> list[int]:
        """The parties that a session keeps busy."""
        key = self.sessions[number][1].key
        return [p.key for p in self.problem.parties if self.problem.share(p.key, key)] or [key]

    def _at_once(self) -> None:
        """Parties once, places as often as they have room, staff as many as there are."""
        problem, model = self.problem, self.model
        instants = {choice.start for some in self.choices.values() for choice in some}
        # Room and staff change where something that stands begins.
        instants |= {begin for place in problem.places for begin, _end in place.busy}
        instants |= {span[0] for who in problem.workers for span in (*who.busy, *who.away)}
        for at in sorted(instants):
            running = self._running(at)
            self._parties_once(running)
            for place in problem.places:
                busy = sum(begin <= at < end for begin, end in place.busy)
                if picks := [pick for pick, c, _n in running if c.place.key == place.key]:
                    model.add(sum(picks) <= max(0, place.room - busy))
            if running:
                free = sum(not _is_busy(worker, at) for worker in problem.workers)
                model.add(sum(choice.needed * pick for pick, choice, _n in running) <= free)

    def _on_the_way(self) -> None:
        """Nobody is at a place at one instant and at another before the way there is done.

        What runs at `at` in one place and what runs there + d in the other, d no longer than the
        way, exclude each other in pairs; staff are counted over them as they are at an instant.
        """
        problem = self.problem
        every = [choice for some in self.choices.values() for choice in some]
        shortest = min((choice.stay.end - choice.start for choice in every), default=1)
        for here in problem.places:
            ends = sorted({c.stay.end - 1 for c in every if c.place.key == here.key})
            for there in problem.places:
                way = problem.way(here.key, there.key)
                if not way:
                    continue
                for at in ends:
                    first = self._running(at, here.key)
                    for later in {*range(shortest, way, shortest), way}:
                        second = self._running(at + later, there.key)
                        if not second:
                            continue
                        self._parties_once([*first, *second])
                        free = sum(
                            not (_is_busy(worker, at) and _is_busy(worker, at + later))
                            for worker in problem.workers
                        )
                        both = [*first, *second]
                        if sum(choice.needed for _p, choice, _n in both) > free:
                            self.model.add(sum(c.needed * p for p, c, _n in both) <= free)

    def _orders(self) -> None:
        """By any instant no more has begun than what comes before it has ended by then."""
        number_of = {(task.key, party.key): n for n, (task, party) in enumerate(self.sessions)}
        for number, (task, party) in enumerate(self.sessions):
            for key in self.problem.before(task, party.key):
                earlier = number_of.get(key)
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
                        self.pick[earlier, index] for index, choice in before if choice.end <= at
                    ]
                    self.model.add(sum(begun) <= sum(ended))

    def _run(self, work: float, longest_s: float):
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        solver.parameters.max_deterministic_time = work
        solver.parameters.max_time_in_seconds = max(0.0, longest_s)
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
        return sum(self.choices[number][index].cost for number, index in self.picked.items())

    @property
    def picked(self) -> dict[int, int]:
        return {number: index for (number, index), is_so in self.best.items() if is_so}

    def place_most(self, work: float, until: float) -> int:
        """How many sessions could be placed at most; `best` holds those that are."""
        now = time.monotonic()
        tries_until = now + _TRIES_SHARE * max(0.0, until - now)
        tried = best_try(self.problem, self.sessions, self.choices, tries_until)
        self.best = {key: tried.get(key[0], (None,))[0] == key[1] for key in self.pick}
        most = sum(bool(some) for some in self.choices.values())
        if self.count == most:
            return most
        self.model.maximize(sum(self.pick.values()))
        reached = dict(self.best)
        left = until - _SPARE_S - time.monotonic()
        solver = self._run(PLACE_WORK * work, _PLACE_SHARE * left)
        if solver is None:
            return most
        if self.count < sum(reached.values()):
            self.best = reached
        return min(most, math.floor(solver.best_objective_bound + 1e-6))

    def cost_least(self, work: float, until: float) -> int:
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
        solver = self._run(COST_WORK * work, until - _SPARE_S - time.monotonic())
        if solver is None:
            return reached[1]
        if self.cost > reached[1]:
            self.best = reached[0]
        return self.cost - max(0, math.ceil(solver.best_objective_bound - 1e-6))


def _is_busy(worker, at: int) -> bool:
    return any(span[0] <= at < span[1] for span in (*worker.busy, *worker.away))
