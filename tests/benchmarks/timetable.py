"""Proposing a timetable: twelve exercises, four groups, five days, two sites, six staff."""

import random
import time

from coursework.timetable.engine import solve
from coursework.timetable.problem import Party, Place, Problem, Task, Worker

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


def whole_week() -> None:
    for seed in (1, 2, 3):
        problem = week(seed)
        solve(problem, work=0.0)  # the engine is loaded once
        begin, worked = time.perf_counter(), time.process_time()
        answer = solve(problem)
        took, worked = time.perf_counter() - begin, time.process_time() - worked
        print(
            f"timetable {seed}: {len(answer.placed)} of 48 sessions in {took:.1f} s "
            f"({worked:.1f} s of one core); "
            f"{answer.more} more at most, costs {sum(p.cost for p in answer.placed)}, "
            f"at most {answer.cost_less} lower"
        )
