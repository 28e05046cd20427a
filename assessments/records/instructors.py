"""Whether one instructor's checks, or one instrument's, read more than the others'.

Each student at each exercise is compared with themself only: own errors are explained by
student at exercise + instructor + tool, fitted by least squares from sums by cell. What the
design cannot tell apart is said to be so, never guessed.
"""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

_RANK_TOLERANCE = 1e-9
_ESTIMABLE = 1e-7


@dataclass(frozen=True, kw_only=True)
class Cell:
    """Lines of one block (a student at an exercise) checked by one instructor with one tool.

    total and squares: sums of own errors in degrees and of their squares.
    """

    block: Hashable
    instructor: Hashable
    tool: Hashable
    count: int
    total: float
    squares: float


@dataclass(frozen=True, kw_only=True)
class Effect:
    """How much more one reads than the mean of the others, degrees, to the right positive.

    half_width_deg: half of the 95 % interval. Both None where the design does not tell.
    """

    name: Hashable
    count: int
    difference_deg: float | None
    half_width_deg: float | None

    @property
    def is_clear(self) -> bool:
        return (
            self.difference_deg is not None
            and self.half_width_deg is not None
            and abs(self.difference_deg) > self.half_width_deg
        )


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """separated: instructors and tools apart. Otherwise `instructors` is what each reads together
    with the tools they used, and `tools` is empty."""

    instructors: tuple[Effect, ...]
    tools: tuple[Effect, ...]
    separated: bool
    lines: int

    @property
    def says_anything(self) -> bool:
        return any(one.difference_deg is not None for one in self.instructors)


def compare(cells: Sequence[Cell]) -> Comparison | None:
    """Instructors, and tools where they can be told apart from them; None for one instructor."""
    instructors = _names(cell.instructor for cell in cells)
    if len(instructors) < 2:
        return None
    tools = _names(cell.tool for cell in cells)
    lines = sum(cell.count for cell in cells)
    if len(tools) > 1:
        fit = _Fit(cells, instructors, tools)
        effects = fit.effects(instructors, "instructor")
        if any(one.difference_deg is not None for one in effects):
            return Comparison(
                instructors=effects,
                tools=fit.effects(tools, "tool"),
                separated=all(one.difference_deg is not None for one in effects),
                lines=lines,
            )
    fit = _Fit(cells, instructors, [])
    return Comparison(
        instructors=fit.effects(instructors, "instructor"),
        tools=(),
        separated=len(tools) == 1,
        lines=lines,
    )


def _names(values) -> list:
    return sorted(set(values), key=str)


class _Fit:
    """Least squares from sums: the normal equations need counts, totals and squares only."""

    def __init__(self, cells: Sequence[Cell], instructors: list, tools: list) -> None:
        self._cells = cells
        blocks = _names(cell.block for cell in cells)
        places = {("block", name): i for i, name in enumerate(blocks)}
        for kind, names in (("instructor", instructors), ("tool", tools)):
            for name in names:
                places[kind, name] = len(places)
        self._places, self._blocks = places, len(blocks)
        # The blocks, many and of one column each, are taken out first (Frisch and Waugh 1933).
        rest = len(places) - len(blocks)
        size = np.zeros(len(blocks))
        block_sum = np.zeros(len(blocks))
        cross = np.zeros((len(blocks), rest))
        normal, right, squares = np.zeros((rest, rest)), np.zeros(rest), 0.0
        for cell in cells:
            b = places["block", cell.block]
            columns = [
                places[kind, name] - len(blocks)
                for kind, name in (("instructor", cell.instructor), ("tool", cell.tool))
                if (kind, name) in places
            ]
            size[b] += cell.count
            block_sum[b] += cell.total
            squares += cell.squares
            for i in columns:
                cross[b, i] += cell.count
                right[i] += cell.total
                for j in columns:
                    normal[i, j] += cell.count
        scaled = cross / size[:, None]
        normal -= cross.T @ scaled
        right -= scaled.T @ block_sum
        values, vectors = np.linalg.eigh(normal)
        kept = values > _RANK_TOLERANCE * max(values.max(initial=0.0), 1.0)
        basis = vectors[:, kept]
        self._inverse = (basis / values[kept]) @ basis.T
        self._span = basis @ basis.T
        self._estimate = self._inverse @ right
        explained = float((block_sum**2 / size).sum() + self._estimate @ right)
        self._freedom = int(size.sum()) - len(blocks) - int(kept.sum())
        left = max(0.0, squares - explained)
        self._variance = left / self._freedom if self._freedom > 0 else np.nan

    def effects(self, names: list, kind: str) -> tuple[Effect, ...]:
        """Each against the mean of the others of its kind; None where that cannot be told."""
        return tuple(self._effect(name, names, kind) for name in names)

    def _effect(self, name, names: list, kind: str) -> Effect:
        count = sum(cell.count for cell in self._cells if getattr(cell, kind) == name)
        contrast = np.zeros(self._estimate.size)
        for one in names:
            share = 1.0 if one == name else -1.0 / (len(names) - 1)
            contrast[self._places[kind, one] - self._blocks] = share
        told = len(names) > 1 and np.abs(self._span @ contrast - contrast).max() < _ESTIMABLE
        if not told or not np.isfinite(self._variance):
            return Effect(name=name, count=count, difference_deg=None, half_width_deg=None)
        error = np.sqrt(self._variance * contrast @ self._inverse @ contrast)
        half = float(stats.t.ppf(0.975, self._freedom) * error)
        return Effect(
            name=name,
            count=count,
            difference_deg=float(contrast @ self._estimate),
            half_width_deg=half,
        )
