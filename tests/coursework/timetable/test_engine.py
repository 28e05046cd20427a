"""A proposed timetable keeps every rule, checked here from the answer alone."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coursework.timetable.engine import solve
from coursework.timetable.problem import (
    INDOORS,
    WHOLE,
    Party,
    Place,
    Problem,
    Stay,
    Task,
    Worker,
    keeping,
)
from tests.benchmarks.timetable import week
from tests.coursework.timetable.rules import broken_rules

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


spans = st.lists(
    st.tuples(st.sampled_from(GRID), st.sampled_from([30, 60, 120])).map(
        lambda pair: (pair[0], pair[0] + pair[1])
    ),
    max_size=1,
).map(tuple)
# Place 9 is none of the question's: somebody else's drill is there.
stays = st.lists(
    st.builds(
        lambda begin, minutes, place: Stay(begin, begin + minutes, place),
        st.sampled_from(GRID),
        st.sampled_from([30, 60]),
        st.sampled_from([1, 9]),
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
        Party(key=key, size=draw(st.integers(0, 7)), busy=draw(spans), away=draw(stays))
        for key in range(1, draw(st.integers(1, 3)) + 1)
    )
    whole = Party(
        key=WHOLE,
        size=sum(party.size for party in parties),
        busy=tuple(span for party in parties for span in party.busy),
        away=tuple(stay for party in parties for stay in party.away),
    )
    allowed = st.dictionaries(st.sampled_from(GRID), st.integers(0, 9), max_size=4)
    may_start = st.sampled_from([True, True, True, False])
    tasks = []
    for key in range(1, draw(st.integers(1, 3)) + 1):
        together = draw(st.booleans()) if all(task.together for task in tasks) else False
        tasks.append(
            Task(
                key=key,
                # One without any start, such as a lesson that only its own page plans.
                starts={place.key: draw(allowed) for place in places} if draw(may_start) else {},
                after=frozenset(draw(st.sets(st.integers(1, key - 1))) if key > 1 else ()),
                together=together,
                minutes=draw(st.sampled_from([None, 30, 90])),
            )
        )
    workers = tuple(
        Worker(key=key, busy=draw(spans), away=draw(stays))
        for key in range(1, draw(st.integers(1, 3)) + 1)
    )
    asked = Problem(
        minutes=HOUR,
        gap=draw(st.sampled_from([0, GAP])),
        tasks=tuple(tasks),
        parties=parties,
        places=places,
        workers=workers,
        ways={(1, 2): draw(st.sampled_from([0, 20, 90])), (1, 9): 30, (2, 9): 45},
        whole=whole,
    )
    # Drills that stand, and lessons that are planned or taken to be held: for some parties or all.
    stands = draw(st.lists(st.sampled_from(asked.sessions), max_size=3))
    fixed = {
        (task.key, party.key): draw(st.sampled_from([(60, 120), (0, 30), (0, 0), (-120, -60)]))
        for task, party in stands
    }
    return replace(asked, fixed=fixed)


@settings(max_examples=80)
@given(problems())
def test_a_proposed_timetable_respects_every_rule(asked):
    answer = solve(asked)
    assert broken_rules(asked, answer) == []
    assert answer.more >= 0
    assert answer.cost_less >= 0


@settings(max_examples=80)
@given(problems(), st.data())
def test_asked_again_what_is_kept_stays_and_the_rest_respects_every_rule_beside_it(asked, data):
    first = solve(asked)
    kept = []
    for one in first.placed:
        if data.draw(st.booleans()):
            # By hand it may have been put anywhere, also where it breaks a rule by itself.
            kept.append(replace(one, start=data.draw(st.sampled_from([one.start, *GRID, 195]))))
    again = solve(keeping(asked, tuple(kept)))
    assert broken_rules(asked, again, tuple(kept)) == []


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


def test_what_is_done_together_keeps_every_group_from_something_else():
    """Two groups with room for both at once; the lesson of all of them comes before."""
    lesson = Task(key=1, starts={1: {0: 0, 60: 0}}, together=True)
    drill = Task(key=2, starts={1: {0: 0, 60: 0}}, after=frozenset())
    answer = solve(
        problem(
            tasks=(lesson, drill),
            parties=(Party(key=1), Party(key=2)),
            whole=Party(key=WHOLE, size=2),
            places=(Place(key=1, room=2),),
            workers=(Worker(key=1), Worker(key=2)),
        )
    )
    starts = {(one.task, one.party): one.start for one in answer.placed}
    assert starts[2, 1] == starts[2, 2] != starts[1, WHOLE]


def test_what_is_kept_by_hand_keeps_its_place():
    asked = problem(parties=(Party(key=1), Party(key=2)), workers=(Worker(key=1), Worker(key=2)))
    first = next(one for one in solve(asked).placed if one.party == 1)
    moved = replace(first, start=90)
    (other,) = solve(keeping(asked, (moved,))).placed
    assert (other.party, other.start) == (2, 0)
    between = replace(first, start=30)
    (none,) = solve(keeping(asked, (between,))).missing or (None,)
    assert none is None  # at two hours there is still room
    assert [one.start for one in solve(keeping(asked, (between,))).placed] == [120]


def test_what_rests_on_something_that_can_be_placed_nowhere_is_not_tried():
    """Nothing more is promised than can be: the first has no start, the third rests on both."""
    second = Task(key=2, starts={1: {0: 0}}, after=frozenset({1}))
    third = Task(key=3, starts={1: {120: 0}}, after=frozenset({2}))
    answer = solve(problem(tasks=(Task(key=1, starts={}), second, third)))
    assert {one.task: one.why for one in answer.missing} == {1: "no-hour", 2: "before", 3: "before"}
    assert answer.is_best


def test_what_is_planned_for_one_party_opens_the_way_for_that_one_alone():
    lesson = Task(key=-1, starts={}, minutes=90)
    drill = Task(key=1, starts={1: {0: 0, 120: 0}}, after=frozenset({-1}))
    answer = solve(
        problem(
            tasks=(lesson, drill),
            parties=(Party(key=1), Party(key=2)),
            fixed={(-1, 1): (0, 90)},
        )
    )
    assert [(one.task, one.party, one.start) for one in answer.placed] == [(1, 1, 120)]
    assert {(one.task, one.party) for one in answer.missing} == {(-1, 2), (1, 2)}


def test_from_a_place_indoors_no_way_is_counted_but_nobody_is_at_two_places():
    lesson = Task(key=-1, starts={INDOORS: {0: 0, 60: 0}})
    drill = Task(key=1, starts={1: {0: 0, 60: 0}}, after=frozenset({-1}))
    places = (Place(key=INDOORS, students_per_instructor=10**6), Place(key=1))
    answer = solve(problem(tasks=(lesson, drill), places=places, ways={(1, 9): 30}))
    assert [(one.task, one.start) for one in answer.placed] == [(-1, 0), (1, 60)]


def test_the_way_between_places_is_kept_free_and_the_cheaper_hour_is_left_for_it():
    places = (Place(key=1), Place(key=2))
    tasks = (Task(key=1, starts={1: {0: 0}}), Task(key=2, starts={2: {60: 0, 89: 1, 90: 2}}))
    answer = solve(problem(tasks=tasks, places=places, ways={(1, 2): 30}))
    assert [one.start for one in answer.placed] == [0, 90]


def test_it_stops_when_its_time_is_up_with_what_it_has():
    asked = week(3, way=60)
    answer = solve(asked, longest_s=1.0)
    assert broken_rules(asked, answer) == []
    assert answer.placed
    assert not answer.is_best
