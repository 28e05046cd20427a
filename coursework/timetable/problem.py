"""What a timetable is asked for and what is answered: plain values, no database.

Times are whole minutes from one instant; a span (begin, end) holds its begin and not its end.
"""

import math
from dataclasses import dataclass, field, replace

Span = tuple[int, int]


@dataclass(frozen=True, kw_only=True)
class Place:
    """`room` drills at once; `busy` spans of other drills each take one of them."""

    key: int
    room: int = 1
    students_per_instructor: int = 12
    busy: tuple[Span, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Worker:
    """Someone who instructs, with the spans in which they cannot."""

    key: int
    busy: tuple[Span, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Party:
    """A group that is taken out, with the spans in which it cannot be."""

    key: int
    size: int = 1
    busy: tuple[Span, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Task:
    """An exercise that every party does once.

    `starts` maps a place to the starts that are allowed there, each with its cost: a whole
    number from 0, the smaller the better. `after`: tasks that a party has done before.
    """

    key: int
    starts: dict[int, dict[int, int]]
    after: frozenset[int] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Problem:
    """`minutes` is the length of a session, `gap` what is free after it, for all it takes.

    `fixed`: sessions that stand already, by (task, party). They are not placed again, and what
    they take is in the `busy` of place, workers and party.
    """

    minutes: int
    gap: int = 0
    tasks: tuple[Task, ...]
    parties: tuple[Party, ...]
    places: tuple[Place, ...]
    workers: tuple[Worker, ...]
    fixed: dict[tuple[int, int], Span] = field(default_factory=dict)

    @property
    def taken(self) -> int:
        """How long a session keeps its place, workers and party."""
        return self.minutes + self.gap

    @property
    def sessions(self) -> list[tuple[Task, Party]]:
        """All that are to be placed."""
        return [
            (task, party)
            for task in self.tasks
            for party in self.parties
            if (task.key, party.key) not in self.fixed
        ]

    def workers_needed(self, party: Party, place: Place) -> int:
        return max(1, math.ceil(party.size / place.students_per_instructor))


def overlap(first: Span, second: Span) -> bool:
    return first[0] < second[1] and second[0] < first[1]


@dataclass(frozen=True, kw_only=True, order=True)
class Placed:
    """One session; `workers` in the order of the question, the first of them leads."""

    start: int
    place: int
    task: int
    party: int
    workers: tuple[int, ...]
    cost: int = 0


@dataclass(frozen=True, kw_only=True)
class Missing:
    """A session that is not placed; `why` is one of `WHY`."""

    task: int
    party: int
    why: str


def keeping(problem: Problem, kept: tuple[Placed, ...]) -> Problem:
    """The same with some sessions of an earlier answer as they are."""
    spans = {one: (one.start, one.start + problem.taken) for one in kept}

    def busy(of, mine):
        return replace(of, busy=of.busy + tuple(span for one, span in spans.items() if mine(one)))

    return replace(
        problem,
        parties=tuple(busy(p, lambda one, p=p: one.party == p.key) for p in problem.parties),
        places=tuple(busy(p, lambda one, p=p: one.place == p.key) for p in problem.places),
        workers=tuple(busy(w, lambda one, w=w: w.key in one.workers) for w in problem.workers),
        fixed=problem.fixed
        | {(one.task, one.party): (one.start, one.start + problem.minutes) for one in kept},
    )


WHY = ("no-hour", "no-staff", "party-busy", "place-busy", "before", "full")


@dataclass(frozen=True, kw_only=True)
class Answer:
    """`more` sessions at most could be placed besides; `cost_less` is how much lower at most
    the sum of costs could be with as many. Both 0: no better timetable exists."""

    placed: tuple[Placed, ...] = ()
    missing: tuple[Missing, ...] = ()
    more: int = 0
    cost_less: int = 0

    @property
    def is_best(self) -> bool:
        return self.more == 0 and self.cost_less == 0
