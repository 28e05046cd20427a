"""Proposing a timetable: twelve exercises, four groups, five days, two sites, six staff.

Without lessons, and with six of them placed too, two of which rest on another.
"""

import random
import time
from dataclasses import replace

from coursework.timetable.engine import solve
from coursework.timetable.problem import INDOORS, WHOLE, Party, Place, Problem, Task, Worker

_DAY, _OPEN, _CLOSE, _STEP, _MINUTES = 1440, 8 * 60, 18 * 60, 30, 60


def week(seed: int, way: int = 20) -> Problem:
    """Windows of two to five hours a day, some exercises after others, two of them anywhere.

    The places are `way` minutes apart.
    """
    chance = random.Random(seed)
    tasks = []
    for key in range(12):
        starts = {}
        for place in (1, 2):
            allowed = {}
            for day in range(5):
                first = chance.randrange(_OPEN, _CLOSE - 240, _STEP)
                last = first + chance.randrange(120, 300, _STEP)
                if key in (4, 9):
                    first, last = _OPEN, _CLOSE
                for start in range(first, min(last, _CLOSE - _MINUTES) + 1, _STEP):
                    middle = (first + last) // 2
                    cost = 0 if key in (4, 9) else abs(start - middle) // 20 + 2 * place
                    allowed[day * _DAY + start] = cost
            starts[place] = allowed
        tasks.append(
            Task(key=key, starts=starts, after=frozenset({key - 1} if key % 3 == 2 else ()))
        )
    return Problem(
        minutes=_MINUTES,
        gap=15,
        tasks=tuple(tasks),
        parties=tuple(Party(key=key, size=6) for key in range(4)),
        places=(
            Place(key=1, students_per_instructor=6),
            Place(key=2, students_per_instructor=3),
        ),
        workers=tuple(Worker(key=key) for key in range(6)),
        ways={(1, 2): way},
    )


def with_lessons(problem: Problem, *, together: bool, indoors: bool) -> Problem:
    """Six lessons of 60 to 120 minutes at any half hour, two exercises resting on each."""
    places = (INDOORS,) if indoors else (1, 2)
    lessons = []
    for number in range(6):
        minutes = (60, 90, 120)[number % 3]
        last = _CLOSE - minutes
        at = {d * _DAY + m: 0 for d in range(5) for m in range(_OPEN, last + 1, _STEP)}
        lessons.append(
            Task(
                key=-1 - number,
                starts=dict.fromkeys(places, at),
                after=frozenset({-number}) if number in (2, 4) else frozenset(),
                together=together,
                minutes=minutes,
            )
        )
    exercises = [
        replace(task, after=task.after | {-1 - task.key // 2, *_first(task.key // 2)})
        for task in problem.tasks
    ]
    room = Place(key=INDOORS, students_per_instructor=10**6)
    return replace(
        problem,
        tasks=(*lessons, *exercises),
        places=(*problem.places, room) if indoors else problem.places,
        whole=Party(key=WHOLE, size=24),
        parties=tuple(replace(party, key=party.key + 1) for party in problem.parties),
    )


def _first(number: int) -> set[int]:
    """The lesson that the lesson of this number rests on."""
    return {-number} if number in (2, 4) else set()


def whole_week() -> None:
    solve(week(1), work=0.0)  # the engine is loaded once
    for seed in (1, 2, 3):
        _measure(f"timetable {seed}", week(seed))
    for together in (True, False):
        for indoors in (True, False):
            how = f"{'whole cohort' if together else 'group by group'}, "
            how += "indoors" if indoors else "at the sites"
            for seed in (1, 2, 3):
                problem = with_lessons(week(seed), together=together, indoors=indoors)
                _measure(f"timetable {seed} with lessons, {how}", problem)


def _measure(name: str, problem: Problem) -> None:
    begin, worked = time.perf_counter(), time.process_time()
    answer = solve(problem)
    took, worked = time.perf_counter() - begin, time.process_time() - worked
    print(
        f"{name}: {len(answer.placed)} of {len(problem.sessions)} sessions in {took:.1f} s "
        f"({worked:.1f} s of one core); "
        f"{answer.more} more at most, costs {sum(p.cost for p in answer.placed)}, "
        f"at most {answer.cost_less} lower",
        flush=True,
    )
