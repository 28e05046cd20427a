"""What every method module works with and gives back."""

from dataclasses import dataclass

import numpy as np

from solar.columns import Attempts
from solar.ephemeris import sun_position
from solar.faults import Faults
from solar.sentences import Sentence

LONGEST_SHADOW = 20.0
"""Stick lengths beyond which the end of a shadow cannot be found."""
LEAST_ELEVATION_DEG = float(np.degrees(np.arctan(1.0 / LONGEST_SHADOW)))
NEAR_ZENITH_DEG = 3.0
"""Distance from the zenith within which a shadow has no usable direction."""


@dataclass
class Group:
    """The rows of one method, with the instants at which they are to be computed.

    rows: indices into the attempts. times: (rows, marks) datetime64[us], NaT where a row has
    fewer marks. Refusals go to `faults`, None while a method is only being moved in time.
    """

    attempts: Attempts
    rows: np.ndarray
    times: np.ndarray
    faults: Faults | None

    def of(self, name: str) -> np.ndarray:
        """A column of the attempts for these rows."""
        return getattr(self.attempts, name)[self.rows]

    def sun(self) -> tuple[np.ndarray, np.ndarray]:
        """Azimuth and apparent elevation, (rows, marks), degrees; NaN where there is no mark."""
        return self.sun_at(self.times)

    def sun_at(self, times: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """The same at other instants, (rows, any), datetime64[us]; NaT gives NaN."""
        return sun_position(
            times,
            latitude_deg=self.of("latitude_deg")[:, None],
            longitude_deg=self.of("longitude_deg")[:, None],
            elevation_m=self.of("elevation_m")[:, None],
        )

    def refuse(self, bad: np.ndarray, column: str, sentence) -> None:
        """Refuse rows where bad (rows,) with sentence(i); nothing while moved in time."""
        if self.faults is not None:
            self.faults.put_where(bad, column, sentence, self.rows)


@dataclass
class Laid:
    """What a perfect practitioner lays, row by row.

    north_deg: bearing laid for north (I), any turn. times, azimuths, elevations: (rows, marks).
    points_m: (rows, marks, 2) east and north of the stick's foot, NaN where there are none.
    scatter_deg: marking scatter; assumed_sun_deg: where the rule puts the sun; NaN if unused.
    per_hand_deg: how the laid north turns for one more hand counted; hands_perfect: the count.
    stars: (rows, stars, 2) azimuth and elevation of what was sighted; no stars by day.
    """

    north_deg: np.ndarray
    times: np.ndarray
    azimuth_deg: np.ndarray
    elevation_deg: np.ndarray
    points_m: np.ndarray
    scatter_deg: np.ndarray
    assumed_sun_deg: np.ndarray
    hands_perfect: np.ndarray
    per_hand_deg: np.ndarray
    stars: np.ndarray

    @classmethod
    def of(cls, group: Group, north_deg, times, azimuth_deg, elevation_deg, **more) -> "Laid":
        """A result with NaN for whatever the method has no use for."""
        rows = group.rows.size
        given = {
            "points_m": np.full((*times.shape, 2), np.nan),
            "scatter_deg": np.full(rows, np.nan),
            "assumed_sun_deg": np.full(rows, np.nan),
            "hands_perfect": np.full(rows, np.nan),
            "per_hand_deg": np.full(rows, np.nan),
            "stars": np.full((rows, 0, 2), np.nan),
        }
        return cls(north_deg, times, azimuth_deg, elevation_deg, **(given | more))


def unit(bearing_deg: np.ndarray) -> np.ndarray:
    """Unit vectors (east, north) of bearings; the last axis is new."""
    angle = np.radians(bearing_deg)
    return np.stack([np.sin(angle), np.cos(angle)], axis=-1)


def bearing_of(vector: np.ndarray) -> np.ndarray:
    """Bearing of (east, north) vectors on the last axis, degrees, any turn."""
    return np.degrees(np.arctan2(vector[..., 0], vector[..., 1]))


def scatter_of_two(points_m: np.ndarray, mark_u_m: np.ndarray) -> np.ndarray:
    """Marking scatter in degrees of a line through two points (rows, 2, 2)."""
    distance = np.hypot(*(points_m[:, 1] - points_m[:, 0]).T)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        return np.degrees(np.sqrt(2.0) * mark_u_m / distance)


def culminates_south(latitude_deg: np.ndarray, declination_deg: np.ndarray) -> np.ndarray:
    """Whether the sun culminates south of the zenith."""
    return declination_deg < latitude_deg


def refuse_long_shadows(group: Group, elevation_deg: np.ndarray) -> None:
    """Refuse rows with a shadow of more than 20 stick lengths on level ground."""
    lowest = np.nanmin(elevation_deg, axis=1)
    group.refuse(
        lowest < LEAST_ELEVATION_DEG,
        "times",
        lambda i: Sentence(
            "the sun stood at only %(height).1f degrees; a shadow longer than "
            "%(longest).0f stick lengths has no end that can be marked.",
            height=float(lowest[i]),
            longest=LONGEST_SHADOW,
        ),
    )
