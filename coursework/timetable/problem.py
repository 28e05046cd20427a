"""What a timetable is asked for and what is answered: plain values, no database.

Times are whole minutes from one instant; a span (begin, end) holds its begin and not its end.
"""

import math
from dataclasses import dataclass, field, replace
from typing import NamedTuple

Span = tuple[int, int]
WHOLE = 0
"""The key of the party that is everybody."""
INDOORS = 0
"""The key of the place that is no site: no way is known from there."""


class Stay(NamedTuple):
    """A span spent at a place (its key), which need not be one of the question's."""

    begin: int
    end: int
    place: int


@dataclass(frozen=True, kw_only=True)
class Place:
    """`room` sessions at once; `busy` spans of others each take one of them."""

    key: int
    room: int = 1
    students_per_instructor: int = 12
    busy: tuple[Span, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Worker:
    """Someone who instructs: `busy` spans in which they cannot, `away` those booked at a place."""

    key: int
    busy: tuple[Span, ...] = ()
    away: tuple[Stay, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Party:
    """A group that is taken out: `busy` spans in which it cannot be, `away` those booked."""

    key: int
    size: int = 1
    busy: tuple[Span, ...] = ()
    away: tuple[Stay, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Task:
    """What every party does once, or all of them `together`.

    `starts` maps a place to the starts that are allowed there, each with its cost: a whole
    number from 0, the smaller the better. `after`: tasks that a party has done before; of one
    that is done together, others done together only. `minutes` None: as long as the others.
    """

    key: int
    starts: dict[int, dict[int, int]]
    after: frozenset[int] = frozenset()
    together: bool = False
    minutes: int | None = None


@dataclass(frozen=True, kw_only=True)
class Problem:
    """`minutes` is the length of a session, `gap` what is free after it, for all it takes.

    `fixed`: sessions that stand already, by (task, party). They are not placed again, and what
    they take is in the `busy` and `away` of place, workers and party. `ways`: minutes from one
    place to another, the same back, on top of the gap. `whole` is the party of tasks done
    together; None where `parties` is that one party.
    """

    minutes: int
    gap: int = 0
    tasks: tuple[Task, ...]
    parties: tuple[Party, ...]
    places: tuple[Place, ...]
    workers: tuple[Worker, ...]
    fixed: dict[tuple[int, int], Span] = field(default_factory=dict)
    ways: dict[tuple[int, int], int] = field(default_factory=dict)
    whole: Party | None = None

    def length(self, task: Task) -> int:
        return self.minutes if task.minutes is None else task.minutes

    def stay(self, task: Task, start: int, place: int) -> Stay:
        """What a session takes of its place, workers and party."""
        return Stay(start, start + self.length(task) + self.gap, place)

    @property
    def sessions(self) -> list[tuple[Task, Party]]:
        """All that are to be placed."""
        return [
            (task, party)
            for task in self.tasks
            for party in self.doing(task)
            if (task.key, party.key) not in self.fixed
        ]

    def doing(self, task: Task) -> tuple[Party, ...]:
        """The parties that do a task, one after the other; everybody at once is one of them."""
        return (self.whole,) if task.together and self.whole else self.parties

    def before(self, task: Task, party: int) -> list[tuple[int, int]]:
        """The sessions (task, party) that a party has done before it comes to a task."""
        whole = {t.key for t in self.tasks if t.together and self.whole}
        known = {t.key for t in self.tasks}
        return [
            (key, self.whole.key if key in whole else party) for key in sorted(task.after & known)
        ]

    def share(self, one: int, other: int) -> bool:
        """Whether someone is in both parties."""
        everybody = self.whole.key if self.whole else None
        return one == other or everybody in (one, other)

    def way(self, one: int, other: int) -> int:
        if one == other:
            return 0
        return self.ways.get((one, other), self.ways.get((other, one), 0))

    def clash(self, one: Stay, other: Stay) -> bool:
        """Whether nobody can be at both: they overlap, or the way takes longer than is left."""
        way = self.way(one.place, other.place)
        return one.begin < other.end + way and other.begin < one.end + way

    def is_free(self, who: Party | Worker, stay: Stay) -> bool:
        """Whether nothing that stands keeps someone from a stay."""
        return not any(overlap(stay[:2], busy) for busy in who.busy) and not any(
            self.clash(stay, other) for other in who.away
        )

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
    """The same with some sessions as they are, whatever speaks against them."""
    tasks = {task.key: task for task in problem.tasks}
    stays = {one: problem.stay(tasks[one.task], one.start, one.place) for one in kept}

    def away(of, mine):
        return replace(of, away=of.away + tuple(stay for one, stay in stays.items() if mine(one)))

    def of_party(party: Party) -> Party:
        return away(party, lambda one: problem.share(one.party, party.key))

    def of_place(place: Place) -> Place:
        spans = tuple(stay[:2] for stay in stays.values() if stay.place == place.key)
        return replace(place, busy=place.busy + spans)

    return replace(
        problem,
        parties=tuple(of_party(party) for party in problem.parties),
        whole=problem.whole and of_party(problem.whole),
        places=tuple(of_place(place) for place in problem.places),
        workers=tuple(away(w, lambda one, w=w: w.key in one.workers) for w in problem.workers),
        fixed=problem.fixed
        | {
            (one.task, one.party): (one.start, one.start + problem.length(tasks[one.task]))
            for one in kept
        },
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
