"""The sky over a rose: the rim is the horizon, the middle straight up, and stars in between."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from reportlab.graphics.shapes import Shape

from assessments.sheets.drawing_words import star_names
from assessments.sheets.shapes import Point, Segment, at_bearing, line, star

DROP_DASH = [0.6, 2.2]
_STEPS = 12


@dataclass(frozen=True)
class Sky:
    """Places in points of the drawing; `drop` runs from the point used down to the horizon.

    `axis`: the line through the stars of a group and on, straight in the sky.
    """

    places: list[Point]
    names: list[str]
    axis: list[Point]
    drop: Segment

    @classmethod
    def of(cls, drawing: dict, centre: Point, radius: float) -> "Sky":
        """From the stars of a drawing: azimuth and elevation in degrees, in order."""
        stars = [(star["azimuth_deg"], star["elevation_deg"]) for star in drawing["stars"]]

        def place(azimuth_deg: float, elevation_deg: float) -> Point:
            return at_bearing(centre, azimuth_deg, radius * (1.0 - elevation_deg / 90.0))

        foot = at_bearing(centre, stars[-1][0], radius)
        axis = [place(*point) for point in _great_circle(stars[0], stars[-1])]
        return cls(
            places=[place(*point) for point in stars],
            names=list(star_names(drawing["method"])),
            axis=axis if len(stars) > 1 else [],
            drop=(place(*stars[-1]), foot),
        )

    @property
    def segments(self) -> list[Segment]:
        return [*pairwise(self.axis), self.drop]

    def shapes(self) -> Iterator[Shape]:
        for first, second in pairwise(self.axis):
            yield line(first, second, "drawing-axis", width=0.7)
        yield line(*self.drop, "drawing-sunline", width=0.9, dash=DROP_DASH)
        for n, place in enumerate(self.places):
            real = n < 2
            name = "drawing-star" if real else "drawing-dropped"
            yield from star(place, 5.5, name, real=real)


def _great_circle(
    first: tuple[float, float], last: tuple[float, float]
) -> Iterator[tuple[float, float]]:
    """Azimuths and elevations along the shortest way between two directions."""
    start, end = (_unit(*point) for point in (first, last))
    for part in np.linspace(0.0, 1.0, _STEPS + 1):
        # Even steps do not matter to how the line looks.
        way = start * (1.0 - part) + end * part
        way = way / np.linalg.norm(way)
        azimuth = float(np.degrees(np.arctan2(way[0], way[1])))
        yield azimuth, float(np.degrees(np.arcsin(np.clip(way[2], -1.0, 1.0))))


def _unit(azimuth_deg: float, elevation_deg: float) -> np.ndarray:
    """East, north and up."""
    azimuth, elevation = np.radians([azimuth_deg, elevation_deg])
    flat = np.cos(elevation)
    return np.array([flat * np.sin(azimuth), flat * np.cos(azimuth), np.sin(elevation)])
