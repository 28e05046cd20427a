"""Who instructs which session of a timetable whose hours are settled."""

from itertools import combinations

from coursework.timetable.problem import Placed, Problem

_LONGEST_S = 2.0


def name_staff(problem: Problem, picked) -> dict[int, tuple[int, ...]]:
    """Workers (keys) by number of session; sessions for which there are too few are left out.

    picked: by number of session an object with `stay`, `needed` and `able`. Where nobody is
    busy elsewhere and no way is counted, the counting of staff by the engine makes sure that
    there are enough.
    """
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    with_ = {
        (number, worker.key): model.new_bool_var(f"y{number}_{worker.key}")
        for number, choice in picked.items()
        for worker in choice.able
    }
    used = {number: model.new_bool_var(f"u{number}") for number in picked}
    for number, choice in picked.items():
        model.add(
            sum(with_[number, worker.key] for worker in choice.able) == choice.needed * used[number]
        )
    for one, other in combinations(picked, 2):
        if problem.clash(picked[one].stay, picked[other].stay):
            for worker in problem.workers:
                if (one, worker.key) in with_ and (other, worker.key) in with_:
                    model.add_at_most_one(with_[one, worker.key], with_[other, worker.key])
    # As many sessions as can be, and the first of the list lead as often as the others.
    load = model.new_int_var(0, len(picked), "load")
    for worker in problem.workers:
        model.add(sum(v for (_n, key), v in with_.items() if key == worker.key) <= load)
    model.maximize(100 * sum(used.values()) - load)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = 1.0
    solver.parameters.max_time_in_seconds = _LONGEST_S
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return {}
    return {
        number: tuple(
            worker.key for worker in choice.able if solver.value(with_[number, worker.key])
        )
        for number, choice in picked.items()
        if solver.value(used[number])
    }


def in_order(problem: Problem, placed: list[Placed]) -> list[Placed]:
    """Without sessions whose earlier ones fell away for want of staff."""
    known = {task.key: task for task in problem.tasks}
    while True:
        done = {(one.task, one.party) for one in placed} | set(problem.fixed)
        kept = [one for one in placed if set(problem.before(known[one.task], one.party)) <= done]
        if len(kept) == len(placed):
            return kept
        placed = kept
