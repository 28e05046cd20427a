"""A proposed timetable keeps every rule, checked here from the answer alone."""

from dataclasses import replace
from itertools import combinations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursework.timetable.engine import solve
from coursework.timetable.problem import Party, Place, Problem, Task, Worker

GRID = [0, 30, 60, 90, 120, 150]
HOUR, GAP = 60, 15


def problem(**parts) -> Problem:
    """One task for one party at one place with one worker, at nought or at two hours."""
    usual = {
        "minutes": HOUR,
        "tasks": (Task(key=1, starts={1: {0: 0, 120: 5}}),),
        "parties": (Party(key=1, size=4),),
        "places": (Place(key=1),),
        "workers": (Worker(key=1),),
    }
    return Problem(**usual | parts)


def at_once(spans, others=()) -> int:
    """The largest number of spans that hold one of their own begins."""
    every = [*spans, *others]
    return max((sum(begin <= at < end for begin, end in every) for at, _end in every), default=0)


def broken_rules(asked: Problem, answer) -> list[str]:
    """The rules of the question that an answer breaks; knows nothing of how it was found."""
    found = []
    tasks = {task.key: task for task in asked.tasks}
    parties = {party.key: party for party in asked.parties}
    places = {place.key: place for place in asked.places}
    workers = {worker.key: worker for worker in asked.workers}
    span = {id(one): (one.start, one.start + asked.minutes + asked.gap) for one in answer.placed}

    def meets(first, second) -> bool:
        return first[0] < second[1] and second[0] < first[1]

    named = [(one.task, one.party) for one in answer.placed]
    named += [(one.task, one.party) for one in answer.missing]
    wanted = set(product(tasks, parties)) - set(asked.fixed)
    if sorted(named) != sorted(wanted):
        found.append("every session is placed once or said to be missing")
    for one in answer.placed:
        if tasks[one.task].starts.get(one.place, {}).get(one.start) != one.cost:
            found.append("at a start that is allowed, at its cost")
        if any(meets(span[id(one)], busy) for busy in parties[one.party].busy):
            found.append("not while the party is elsewhere")
        if any(meets(span[id(one)], b) for w in one.workers for b in workers[w].busy):
            found.append("not while a worker is elsewhere")
        room = places[one.place].students_per_instructor * len(set(one.workers))
        if not one.workers or parties[one.party].size > room:
            found.append("enough workers for the students")
    for first, second in combinations(answer.placed, 2):
        if not meets(span[id(first)], span[id(second)]):
            continue
        if first.party == second.party:
            found.append("a party is at one place at a time")
        if set(first.workers) & set(second.workers):
            found.append("a worker is at one place at a time")
    for place in asked.places:
        own = [span[id(one)] for one in answer.placed if one.place == place.key]
        if own and at_once(own, place.busy) > max(place.room, at_once(place.busy)):
            found.append("no more at a place than it has room for")
    ends = {(one.task, one.party): one.start + asked.minutes for one in answer.placed}
    ends |= {key: end for key, (_begin, end) in asked.fixed.items()}
    begins = {(one.task, one.party): one.start for one in answer.placed}
    begins |= {key: begin for key, (begin, _end) in asked.fixed.items()}
    for one in answer.placed:
        for before in tasks[one.task].after & tasks.keys():
            if ends.get((before, one.party), 10**9) > one.start:
                found.append("what comes before is done before")
        for other in tasks.values():
            stands = one.task in other.after and (other.key, one.party) in asked.fixed
            if stands and ends[one.task, one.party] > begins[other.key, one.party]:
                found.append("before what stands already and rests on it")
    return found


spans = st.lists(
    st.tuples(st.sampled_from(GRID), st.sampled_from([30, 60, 120])).map(
        lambda pair: (pair[0], pair[0] + pair[1])
    ),
    max_size=1,
).map(tuple)


@st.composite
def problems(draw) -> Problem:
    places = tuple(
        Place(
            key=key,
            room=draw(st.integers(1, 2)),
            students_per_instructor=draw(st.integers(2, 6)),
            busy=draw(spans),
        )
        for key in range(1, draw(st.integers(1, 2)) + 1)
    )
    parties = tuple(
        Party(key=key, size=draw(st.integers(0, 7)), busy=draw(spans))
        for key in range(1, draw(st.integers(1, 3)) + 1)
    )
    allowed = st.dictionaries(st.sampled_from(GRID), st.integers(0, 9), max_size=4)
    tasks = []
    for key in range(1, draw(st.integers(1, 3)) + 1):
        after = draw(st.sets(st.integers(1, key - 1))) if key > 1 else set()
        starts = {place.key: draw(allowed) for place in places}
        tasks.append(Task(key=key, starts=starts, after=frozenset(after)))
    workers = tuple(
        Worker(key=key, busy=draw(spans)) for key in range(1, draw(st.integers(1, 3)) + 1)
    )
    fixed = {}
    if draw(st.booleans()):
        fixed = {(draw(st.sampled_from(tasks)).key, draw(st.sampled_from(parties)).key): (60, 120)}
    return Problem(
        minutes=HOUR,
        gap=draw(st.sampled_from([0, GAP])),
        tasks=tuple(tasks),
        parties=parties,
        places=places,
        workers=workers,
        fixed=fixed,
    )


@settings(max_examples=40)
@given(problems())
def test_a_proposed_timetable_respects_every_rule(asked):
    answer = solve(asked)
    assert broken_rules(asked, answer) == []
    assert answer.more >= 0
    assert answer.cost_less >= 0


@pytest.mark.parametrize(
    ("changes", "rule"),
    [
        ({"start": 30}, "at a start that is allowed, at its cost"),
        ({"workers": ()}, "enough workers for the students"),
        ({"party": 2}, "every session is placed once or said to be missing"),
    ],
)
def test_the_checker_of_rules_finds_what_is_broken(changes, rule):
    asked = problem(parties=(Party(key=1, size=4), Party(key=2, size=4)))
    answer = solve(asked)
    first = next(one for one in answer.placed if one.party == 1)
    rest = tuple(one for one in answer.placed if one is not first)
    assert rule in broken_rules(asked, replace(answer, placed=(replace(first, **changes), *rest)))


def test_the_cheapest_hour_is_taken_and_nothing_better_exists():
    answer = solve(problem())
    (one,) = answer.placed
    assert (one.start, one.workers, answer.is_best) == (0, (1,), True)


def test_as_many_as_possible_come_before_good_hours():
    answer = solve(problem(parties=(Party(key=1), Party(key=2))))
    assert [one.start for one in answer.placed] == [0, 120]


def test_the_same_question_has_the_same_answer():
    asked = problem(parties=(Party(key=1), Party(key=2)), workers=(Worker(key=1), Worker(key=2)))
    assert solve(asked) == solve(asked)


@pytest.mark.parametrize(
    ("parts", "why"),
    [
        ({"tasks": (Task(key=1, starts={}),)}, "no-hour"),
        ({"workers": ()}, "no-staff"),
        ({"workers": (Worker(key=1, busy=((0, 300),)),)}, "no-staff"),
        ({"parties": (Party(key=1, busy=((0, 300),)),)}, "party-busy"),
        ({"places": (Place(key=1, busy=((0, 300),)),)}, "place-busy"),
    ],
)
def test_what_could_not_be_placed_says_why(parts, why):
    answer = solve(problem(**parts))
    assert [one.why for one in answer.missing] == [why]
    assert answer.is_best


def test_what_rests_on_a_missing_session_says_so_and_where_there_is_no_room_that():
    second = Task(key=2, starts={1: {0: 0}}, after=frozenset({1}))
    answer = solve(problem(tasks=(Task(key=1, starts={}), second)))
    assert {one.task: one.why for one in answer.missing} == {1: "no-hour", 2: "before"}
    full = solve(problem(parties=(Party(key=1), Party(key=2), Party(key=3))))
    assert [one.why for one in full.missing] == ["full"]


def test_a_session_that_stands_is_left_alone_and_counts_as_done_before():
    second = Task(key=2, starts={1: {0: 0, 120: 5}}, after=frozenset({1}))
    answer = solve(problem(tasks=(Task(key=1, starts={}), second), fixed={(1, 1): (30, 90)}))
    assert [(one.task, one.start) for one in answer.placed] == [(2, 120)]
    assert answer.missing == ()
