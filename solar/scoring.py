"""One columnar function: attempts in, scores out. A single attempt is a column of one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from solar import checks, columns, decision
from solar.bearings import bearing_deg, difference_deg, wrap_deg
from solar.checks import CLOCK_U_S, HALF_STEP
from solar.columns import STAR_METHODS, Attempts
from solar.daylight import clearance_deg, clearance_each_deg
from solar.drawing import Geometry
from solar.faults import Faults
from solar.methods import MODULES, Group, first_last, watch
from solar.sentences import Sentence

NUMBERS = (
    "laid_true_deg", "error_deg", "method_error_deg", "own_error_deg", "counting_error_deg",
    "correction_error_deg", "marking_scatter_deg", "expanded_uncertainty_deg",
)  # fmt: skip
ADDED = (*NUMBERS, "verdict", "sun_azimuth_deg", "sun_elevation_deg", "declination_used_deg")
ADDED = (*ADDED, "problem")
"""The added columns of the batch file, in order."""

NOT_A_TIME = np.datetime64("NaT")


@dataclass(frozen=True)
class Scores:
    """Scores by row. Angles are degrees, errors positive to the right; NaN is blank.

    columns: the added columns of the batch file, unrounded floats or lists of words.
    fault_column: which column a problem is about. observed_at: last recorded or computed time.
    """

    columns: dict[str, np.ndarray | list[str]]
    fault_column: list[str]
    observed_at: list[datetime | None]
    magnetic_model: list[str]
    geometry: Geometry

    def drawing(self, row: int) -> dict:
        """Bearings and lengths for the drawing of one row, as plain values."""
        return self.geometry.of_row(row)


def score(table: Mapping[str, Sequence]) -> Scores:
    """Score attempts given as columns of the batch format, text or typed, of equal length.

    ValueError where a required column is missing or lengths differ. A row that cannot be
    scored has NaN and a sentence in the column `problem`; the others are scored all the same.
    """
    attempts, faults = columns.read(table)
    geometry = Geometry.empty(attempts)
    method_error, slope, scatter, counting = np.full((4, len(attempts)), np.nan)
    for name, module in MODULES.items():
        group, computed = _group(name, attempts, faults)
        rows = group.rows
        if not rows.size:
            continue
        laid = module.lay(group)
        slope[rows] = np.where(computed, 0.0, _change_a_second(module, group, laid.north_deg))
        method_error[rows] = wrap_deg(laid.north_deg)
        scatter[rows] = laid.scatter_deg
        counted_too_many = attempts.hands[rows] - laid.hands_perfect
        counting[rows] = wrap_deg(laid.per_hand_deg * counted_too_many)
        geometry.put(rows, laid)
    last_times = geometry.last_times()
    checked = checks.check(attempts, geometry.last_recorded(), faults)
    result = _errors(attempts, checked, method_error, slope)
    result |= {"marking_scatter_deg": scatter, "counting_error_deg": counting}
    azimuth, elevation = geometry.sun_at(last_times)
    result |= {"sun_azimuth_deg": azimuth, "sun_elevation_deg": elevation}
    result["declination_used_deg"] = checked.declination_deg
    _refuse_what_has_no_number(result, faults)
    for values in result.values():
        values[~faults.sound] = np.nan
    result["verdict"] = _verdicts(attempts, result)
    result["problem"] = faults.sentence.tolist()
    geometry.finish(result, attempts)
    return Scores(
        columns={name: result[name] for name in ADDED},
        fault_column=faults.column.tolist(),
        observed_at=[
            moment.replace(tzinfo=UTC) if sound and moment is not None else None
            for moment, sound in zip(last_times.tolist(), faults.sound, strict=True)
        ],
        magnetic_model=checked.magnetic_model.tolist(),
        geometry=geometry,
    )


def _group(name: str, attempts: Attempts, faults: Faults) -> tuple[Group, np.ndarray]:
    """The rows of a method that can be laid out, and which of them had their times computed."""
    rows = np.nonzero(faults.sound & (attempts.method == name))[0]
    group = Group(attempts, rows, attempts.times[rows], faults)
    computed = group.of("order") != ""
    if computed.any():
        most = max(2, group.times.shape[1])
        times = np.full((rows.size, most), NOT_A_TIME, dtype="datetime64[us]")
        times[:, : group.times.shape[1]] = group.times
        times[computed, :2] = first_last.computed_times(group)[computed]
        group.times = times
    if not rows.size:
        return group, computed
    if name in STAR_METHODS:
        _refuse_daylight(group)
    else:
        _refuse_below_horizon(group, near=name == first_last.NAME)
    sound = faults.sound[rows]
    marks = (~np.isnat(group.times[sound])).any(axis=0)
    return Group(attempts, rows[sound], group.times[sound][:, marks], faults), computed[sound]


def _change_a_second(module, group: Group, north_deg: np.ndarray) -> np.ndarray:
    """How fast the method error turns when all recorded times move together, degrees a second.

    north_deg: unmoved. It stands in on the side on which the moved times lay no line: an equal
    shadow marked within half a minute of the sun's highest has no counterpart beyond it.
    """
    north = []
    for sign in (-1, 1):
        moved = Group(group.attempts, group.rows, group.times + sign * HALF_STEP, None)
        hours = sign * HALF_STEP / np.timedelta64(1, "h")
        north.append(
            (
                module.lay(moved, shift_hours=hours) if module is watch else module.lay(moved)
            ).north_deg
        )
    sides = sum(np.isfinite(side).astype(float) for side in north)
    before, after = (np.where(np.isfinite(side), side, north_deg) for side in north)
    step_s = HALF_STEP / np.timedelta64(1, "s")
    return difference_deg(after, before) / (np.maximum(sides, 1.0) * step_s)


def _refuse_below_horizon(group: Group, *, near: bool) -> None:
    """Refuse rows with the sun below the terrain horizon at a recorded time.

    near: rows whose sun is above it within five minutes of the time are let pass.
    """
    below = np.zeros(group.times.shape, dtype=bool)
    times = np.where((group.of("order") == "")[:, None], group.times, NOT_A_TIME)
    steps = np.arange(-5, 6) * np.timedelta64(1, "m") if near else np.array([0], "timedelta64[m]")
    row, mark = np.nonzero(~np.isnat(times))
    clearance = clearance_each_deg(
        times[row, mark][:, None] + steps,
        group.of("horizon")[row],
        latitude_deg=group.of("latitude_deg")[row],
        longitude_deg=group.of("longitude_deg")[row],
        elevation_m=group.of("elevation_m")[row],
    )
    below[row, mark] = clearance.max(axis=1) < 0.0
    group.refuse(
        below.any(axis=1),
        "times",
        lambda i: _was_below(
            times[i][below[i]][0].astype("datetime64[s]"), group.of("horizon")[i].is_open
        ),
    )


def _was_below(time: np.datetime64, is_open: bool) -> Sentence:
    if is_open:
        return Sentence("at %(time)sZ the sun was below the horizon.", time=str(time))
    return Sentence("at %(time)sZ the sun was below the skyline of this place.", time=str(time))


def _refuse_daylight(group: Group) -> None:
    """Refuse rows of a star method with the sun above a flat horizon."""
    clearance = clearance_deg(
        group.times[:, 0],
        latitude_deg=group.of("latitude_deg"),
        longitude_deg=group.of("longitude_deg"),
        elevation_m=group.of("elevation_m"),
    )
    group.refuse(
        clearance >= 0.0, "times", lambda i: Sentence("the sun was up, and no star to be seen.")
    )


def _errors(attempts: Attempts, checked, method_error, slope) -> dict[str, np.ndarray]:
    error = difference_deg(checked.laid_deg, attempts.target_deg)
    declared = ~np.isnan(attempts.declared_deg)
    own = np.where(declared, error, wrap_deg(error - method_error))
    # The clock matters to the own error only where the method's part was taken out of it.
    clock_u = np.where(attempts.judged_on_own & ~declared, slope * CLOCK_U_S, 0.0)
    return {
        "laid_true_deg": bearing_deg(checked.laid_deg),
        "error_deg": error,
        "method_error_deg": method_error.copy(),
        "own_error_deg": own,
        "correction_error_deg": wrap_deg(method_error + attempts.declared_deg),
        "expanded_uncertainty_deg": decision.COVERAGE * np.hypot(checked.u_deg, clock_u),
    }


def _verdicts(attempts: Attempts, result) -> list[str]:
    judged = np.where(attempts.judged_on_own, result["own_error_deg"], result["error_deg"])
    return decision.decide(
        judged,
        tolerance_deg=attempts.tolerance_deg,
        expanded_u_deg=result["expanded_uncertainty_deg"],
        guarded=attempts.guarded,
    ).tolist()


def _refuse_what_has_no_number(result, faults: Faults) -> None:
    """Marks that fall on one spot make no line; said instead of a NaN that travels."""
    for row in np.nonzero(faults.sound & ~np.isfinite(result["method_error_deg"]))[0]:
        faults.put(row, "times", Sentence("the marks fall on one spot and make no line."))
    # Methods without marks have no scatter at all, which is not what is looked for here.
    for row in np.nonzero(faults.sound & np.isinf(result["marking_scatter_deg"]))[0]:
        faults.put(
            row, "stick_m", Sentence("a stick as short as this leaves no line between its marks.")
        )
