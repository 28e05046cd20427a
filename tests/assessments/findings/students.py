"""Made students: each has exactly one fault, or none."""

from datetime import UTC, datetime, timedelta

import numpy as np

from assessments.findings import Evidence

START = datetime(2026, 3, 10, 10, tzinfo=UTC)


def attempt(number: int = 0, **facts) -> Evidence:
    """One shadow-tip attempt of a careful student, but for what is given."""
    own = facts.pop("own_error_deg", 0.0)
    method_error = facts.pop("method_error_deg", 0.0)
    error = own + method_error
    tolerance = facts.get("tolerance_deg", 15.0)
    given = {
        "key": f"attempt-{number}",
        "observed_at": START + timedelta(days=number),
        "method": "shadow-tip",
        "northern": True,
        "error_deg": error,
        "method_error_deg": method_error,
        "own_error_deg": own,
        "tolerance_deg": tolerance,
        "verdict": "within" if abs(error) <= tolerance - 3.0 else "outside",
        "marking_scatter_deg": 1.5,
        "minutes_between_marks": 18.0,
        "expanded_uncertainty_deg": 3.1,
    }
    return Evidence(**(given | facts))


def scatter(count: int, *, size: float = 2.0, seed: int = 1) -> list[float]:
    """Own errors without a mean: as far to the one side as to the other."""
    half = np.random.default_rng(seed).uniform(0.3, 1.0, (count + 1) // 2) * size
    return [float(value) for pair in zip(half, -half, strict=True) for value in pair][:count]


def careful(count: int = 10, **facts) -> list[Evidence]:
    """A student with small errors to both sides and nothing else."""
    return [
        attempt(number, own_error_deg=own, **facts) for number, own in enumerate(scatter(count))
    ]
