"""What was computed on the way to a score, kept for drawings and records."""

from dataclasses import dataclass, field

import numpy as np

from solar.bearings import bearing_deg
from solar.columns import Attempts
from solar.methods.base import Laid


@dataclass
class Geometry:
    """Marks, sun and lines by row. Bearings true, degrees; positions in metres.

    Arrays of marks have as many columns as the row with most marks needs, NaN and NaT after
    the last; their order is the method's own (forenoon first for equal lengths).
    """

    attempts: Attempts
    times: np.ndarray
    azimuth_deg: np.ndarray
    elevation_deg: np.ndarray
    points_m: np.ndarray
    assumed_sun_deg: np.ndarray
    hands_perfect: np.ndarray
    stars: dict[int, np.ndarray]
    """By row of a star method: azimuth and elevation of what was sighted."""
    method_line_deg: np.ndarray = field(init=False)
    laid_deg: np.ndarray = field(init=False)
    expanded_u_deg: np.ndarray = field(init=False)

    @classmethod
    def empty(cls, attempts: Attempts) -> "Geometry":
        rows, marks = len(attempts), max(2, attempts.times.shape[1])
        return cls(
            attempts,
            np.full((rows, marks), np.datetime64("NaT"), dtype="datetime64[us]"),
            np.full((rows, marks), np.nan),
            np.full((rows, marks), np.nan),
            np.full((rows, marks, 2), np.nan),
            np.full(rows, np.nan),
            np.full(rows, np.nan),
            {},
        )

    def put(self, rows: np.ndarray, laid: Laid) -> None:
        marks = slice(0, laid.times.shape[1])
        self.times[rows, marks] = laid.times
        self.azimuth_deg[rows, marks] = laid.azimuth_deg
        self.elevation_deg[rows, marks] = laid.elevation_deg
        self.points_m[rows, marks] = laid.points_m
        self.assumed_sun_deg[rows] = laid.assumed_sun_deg
        self.hands_perfect[rows] = laid.hands_perfect
        if laid.stars.shape[1]:
            self.stars.update(zip(rows.tolist(), laid.stars, strict=True))

    def finish(self, result: dict, attempts: Attempts) -> None:
        """Take over the lines once the errors are known."""
        self.method_line_deg = bearing_deg(result["method_error_deg"] + attempts.target_deg)
        self.laid_deg = result["laid_true_deg"]
        self.expanded_u_deg = result["expanded_uncertainty_deg"]

    def last_times(self) -> np.ndarray:
        """The latest mark of each row, recorded or computed; NaT where there is none."""
        return _latest(self.times)

    def last_recorded(self) -> np.ndarray:
        """The latest recorded time; the latest computed one where none is recorded."""
        if not self.attempts.times.shape[1]:
            return self.last_times()
        recorded = _latest(self.attempts.times)
        return np.where(np.isnat(recorded), self.last_times(), recorded)

    def sun_at(self, last_times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Azimuth and apparent elevation at the latest mark of each row."""
        mark = np.argmax(self.times == last_times[:, None], axis=1)
        rows = np.arange(mark.size)
        return self.azimuth_deg[rows, mark].copy(), self.elevation_deg[rows, mark].copy()

    def of_row(self, row: int) -> dict:
        """One row as plain values (None for what the method has no use for)."""
        attempts = self.attempts
        recorded = set(attempts.times[row].tolist())
        marks = []
        for mark in np.nonzero(~np.isnat(self.times[row]))[0]:
            moment = self.times[row, mark].tolist()
            east_m, north_m = (_plain(part) for part in self.points_m[row, mark])
            marks.append(
                {
                    "time": f"{moment.isoformat()}+00:00",
                    "recorded": moment in recorded,
                    "sun_azimuth_deg": _plain(self.azimuth_deg[row, mark]),
                    "sun_elevation_deg": _plain(self.elevation_deg[row, mark]),
                    "shadow_bearing_deg": _plain(bearing_deg(self.azimuth_deg[row, mark] + 180.0)),
                    "east_m": east_m,
                    "north_m": north_m,
                }
            )
        return {
            "method": attempts.method[row],
            "target_deg": _plain(bearing_deg(attempts.target_deg[row])),
            "laid_deg": _plain(self.laid_deg[row]),
            "method_deg": _plain(self.method_line_deg[row]),
            "uncertainty_deg": _plain(self.expanded_u_deg[row]),
            "stick_m": _plain(attempts.stick_m[row]),
            "marks": marks,
            "assumed_sun_deg": _plain(bearing_deg(self.assumed_sun_deg[row])),
            "stars": [
                {"azimuth_deg": _plain(azimuth), "elevation_deg": _plain(elevation)}
                for azimuth, elevation in self.stars.get(row, ())
            ],
            "hands_perfect": _plain(self.hands_perfect[row]),
            "slope_deg": _plain(attempts.slope_deg[row]),
            "downhill_deg": _plain(bearing_deg(attempts.downhill_deg[row])),
        }


def _latest(times: np.ndarray) -> np.ndarray:
    filled = np.where(np.isnat(times), np.datetime64(0, "us") - np.timedelta64(10**15, "us"), times)
    latest = filled.max(axis=1)
    return np.where(np.isnat(times).all(axis=1), np.datetime64("NaT"), latest)


def _plain(value) -> float | None:
    """A float with the digits that mean anything, None for NaN."""
    return None if np.isnan(value) else round(float(value), 6)
