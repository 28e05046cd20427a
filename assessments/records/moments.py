"""Sums of directions that can be added up, for the same statistics as over each of them."""

from collections.abc import Iterable
from dataclasses import astuple, dataclass

import numpy as np
from scipy import stats

from solar.bearings import wrap_deg
from solar.circular import LEAST_FOR_AN_INTERVAL, Summary

_LEAST_LENGTH = 1e-9


@dataclass(frozen=True)
class Moments:
    """First and second trigonometric sums of `count` directions (Fisher 1993, section 2.3)."""

    count: int = 0
    sine: float = 0.0
    cosine: float = 0.0
    sine_twice: float = 0.0
    cosine_twice: float = 0.0

    @classmethod
    def of(cls, angles_deg: Iterable[float]) -> "Moments":
        angles = np.radians(np.asarray(list(angles_deg), dtype=float))
        return cls(
            angles.size,
            float(np.sin(angles).sum()),
            float(np.cos(angles).sum()),
            float(np.sin(2.0 * angles).sum()),
            float(np.cos(2.0 * angles).sum()),
        )

    @classmethod
    def from_list(cls, values: Iterable[float]) -> "Moments":
        return cls(*values)

    def to_list(self) -> list[float]:
        return list(astuple(self))

    def __add__(self, other: "Moments") -> "Moments":
        return Moments(*(a + b for a, b in zip(astuple(self), astuple(other), strict=True)))

    def summary(self, *, confidence: float = 0.95) -> Summary | None:
        """As `solar.circular.summary` of the directions; None where there is none."""
        if not self.count:
            return None
        length = min(float(np.hypot(self.sine, self.cosine)) / self.count, 1.0)
        if length < _LEAST_LENGTH:
            return Summary(self.count, None, 0.0, None, None)
        mean = float(wrap_deg(np.degrees(np.arctan2(self.sine, self.cosine))))
        std = float(np.degrees(np.sqrt(max(0.0, -2.0 * np.log(length)))))
        return Summary(self.count, mean, length, std, self._half_width(mean, length, confidence))

    def _half_width(self, mean_deg: float, length: float, confidence: float) -> float | None:
        if self.count < LEAST_FOR_AN_INTERVAL:
            return None
        twice = 2.0 * np.radians(mean_deg)
        # The mean cosine of twice the deviations, from the sums alone.
        second = (self.cosine_twice * np.cos(twice) + self.sine_twice * np.sin(twice)) / self.count
        error = np.sqrt(max(0.0, 1.0 - second) / (2.0 * self.count * length**2))
        sine = float(stats.t.ppf(0.5 + confidence / 2.0, self.count - 1) * error)
        return float(np.degrees(np.arcsin(sine))) if sine < 1.0 else None
