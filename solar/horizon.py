"""The skyline seen from a place: bearing and elevation pairs, joined linearly."""

import math
import re
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

from solar.sentences import Sentence, SentenceError

LOWEST_DEG, HIGHEST_DEG = -5.0, 60.0
# Written out since float() also takes "1_0", "nan" and digits of other scripts.
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)


class HorizonError(SentenceError):
    """Text that is no skyline."""


@dataclass(frozen=True)
class TerrainHorizon:
    """Terrain elevation by bearing, degrees, linear between pairs and around the circle.

    `pairs` are sorted by bearing in [0, 360); none means a flat, open horizon (`is_open`).
    """

    pairs: tuple[tuple[float, float], ...] = ()

    @property
    def is_open(self) -> bool:
        """True where no profile is given, which is not the same as a profile of zeros."""
        return not self.pairs

    @staticmethod
    @lru_cache(maxsize=4096)
    def parse(text: str) -> "TerrainHorizon":
        """Read `bearing:elevation` pairs separated by spaces; blank text is an open horizon.

        Bearings are 0 to 360, elevations -5 to 60 degrees. HorizonError says what is wrong with
        which pair; a bearing given twice is an error, and 360 is the same bearing as 0.
        """
        found: dict[float, float] = {}
        for word in text.split():
            left, colon, right = word.partition(":")
            if not (colon and _NUMBER.fullmatch(left) and _NUMBER.fullmatch(right)):
                raise HorizonError(
                    Sentence(
                        "“%(word)s” is not a bearing and an elevation, such as 90:4.5.", word=word
                    )
                )
            bearing, elevation = float(left), float(right)
            if not 0.0 <= bearing <= 360.0:
                raise HorizonError(
                    Sentence("“%(word)s” has a bearing outside 0 to 360 degrees.", word=word)
                )
            if not LOWEST_DEG <= elevation <= HIGHEST_DEG:
                raise HorizonError(
                    Sentence("“%(word)s” has an elevation outside -5 to 60 degrees.", word=word)
                )
            bearing = math.fmod(bearing, 360.0)
            if found.get(bearing, elevation) != elevation:
                raise HorizonError(
                    Sentence("“%(word)s” gives a second elevation for the same bearing.", word=word)
                )
            found[bearing] = elevation
        return TerrainHorizon(tuple(sorted(found.items())))

    def elevation_deg(self, azimuth_deg: ArrayLike) -> np.ndarray:
        """Terrain elevation at true bearings (any shape, degrees); 0 for an open horizon."""
        azimuth = np.asarray(azimuth_deg, dtype=float)
        if self.is_open:
            return np.zeros_like(azimuth)
        bearings, elevations = np.array(self.pairs).T
        return np.interp(azimuth, bearings, elevations, period=360.0)

    def __str__(self) -> str:
        return " ".join(f"{bearing:g}:{elevation:g}" for bearing, elevation in self.pairs)


def groups(profiles: np.ndarray) -> list[tuple[TerrainHorizon, np.ndarray]]:
    """Rows that share a profile: (profile, row numbers), for an object array of profiles."""
    first_seen: dict[TerrainHorizon, int] = {}
    by_identity: dict[int, int] = {}
    codes = np.empty(profiles.size, dtype=int)
    for row, profile in enumerate(profiles):
        code = by_identity.get(id(profile))
        if code is None:
            code = first_seen.setdefault(profile, len(first_seen))
            by_identity[id(profile)] = code
        codes[row] = code
    order = np.argsort(codes, kind="stable")
    ends = np.searchsorted(codes[order], np.arange(1, len(first_seen)))
    return list(zip(first_seen, np.split(order, ends), strict=True)) if profiles.size else []
