"""Which hours are good for a method, and at which it is reliably wrong, ranked."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

import numpy as np

from solar.windows import Cells
from solar.year_grid import local_of

SCATTERS = 2.0
"""How many marking scatters count beside the method's own error (common practice, no source)."""


@dataclass(frozen=True)
class Window:
    """Consecutive starts of one local date; times local and aware, angles in degrees."""

    date: date
    start: datetime
    end: datetime
    at: datetime
    """The start in it that stands for it: the best one, or of wrong hours the worst."""
    error_deg: float
    """The method error at `at`, with its sign: positive to the right."""
    scatter_deg: float
    """The marking scatter at `at`; NaN for methods without marks."""
    rank_deg: float
    """|error| + 2 scatter at `at`; of wrong hours |error| - 2 scatter."""
    smallest_deg: float
    """The error of smallest magnitude in the window."""
    largest_deg: float
    """The error of largest magnitude in the window."""


def good_windows(found: Cells, zone: ZoneInfo, *, limit_deg: float) -> list[Window]:
    """Runs of starts with |method error| <= limit_deg, the smallest rank first.

    Where ranks are alike, the earlier one comes first.
    """
    size = np.abs(found.error_deg)
    with np.errstate(invalid="ignore"):
        good = size <= limit_deg
    rank = size + SCATTERS * _scatter(found)
    windows = _windows(found, zone, good, rank, np.argmin)
    return sorted(windows, key=lambda window: (round(window.rank_deg, 2), window.start))


def wrong_windows(found: Cells, zone: ZoneInfo, *, limit_deg: float) -> list[Window]:
    """Runs of starts at which even careful marks lay a line beyond the limit, the surest first.

    Careful means within two scatters: |method error| - 2 scatter > limit_deg.
    """
    rank = np.abs(found.error_deg) - SCATTERS * _scatter(found)
    with np.errstate(invalid="ignore"):
        wrong = rank > limit_deg
    windows = _windows(found, zone, wrong, rank, np.argmax)
    return sorted(windows, key=lambda window: (-round(window.rank_deg, 2), window.start))


def _scatter(found: Cells) -> np.ndarray:
    """The scatter, none for methods without marks."""
    return np.nan_to_num(found.scatter_deg, nan=0.0)


def _windows(found: Cells, zone: ZoneInfo, wanted, rank, choose) -> Iterator[Window]:
    edges = np.diff(np.pad(wanted, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    for row, begin in zip(*np.nonzero(edges == 1), strict=True):
        end = begin + int(np.argmax(edges[row, begin:] == -1))
        errors = found.error_deg[row, begin:end]
        chosen = begin + int(choose(rank[row, begin:end]))
        yield Window(
            date=found.dates[row],
            start=local_of(found.starts[row, begin], zone),
            end=local_of(found.starts[row, end - 1], zone),
            at=local_of(found.starts[row, chosen], zone),
            error_deg=float(found.error_deg[row, chosen]),
            scatter_deg=float(found.scatter_deg[row, chosen]),
            rank_deg=float(rank[row, chosen]),
            smallest_deg=float(errors[np.argmin(np.abs(errors))]),
            largest_deg=float(errors[np.argmax(np.abs(errors))]),
        )
