"""Skylines on pages: lists of pairs as people paste them, and where the lines of a chart go.

Lengths of the chart are units of its 480-wide view box.
"""

import math
import re

import numpy as np
from django.utils.translation import pgettext

from solar.bearings import compass_point
from solar.horizon import TerrainHorizon

LEFT, RIGHT, TOP, FLOOR = 44.0, 450.0, 14.0, 150.0
LEAST_TOP_DEG = 10.0
STEP_DEG = 2


def chart(horizon: TerrainHorizon) -> dict:
    """Points, ticks and levels; elevations from the lower of 0 and the lowest of the skyline."""
    bearings = np.union1d(np.arange(0, 361, STEP_DEG), [pair[0] for pair in horizon.pairs])
    elevations = horizon.elevation_deg(bearings)
    step = 5 if elevations.max() <= 20.0 else 10
    top = max(LEAST_TOP_DEG, step * math.ceil(float(elevations.max()) / step))
    bottom = min(0.0, step * math.floor(float(elevations.min()) / step))

    def x(bearing_deg):
        return LEFT + (RIGHT - LEFT) * bearing_deg / 360.0

    def y(elevation_deg):
        return FLOOR - (FLOOR - TOP) * (elevation_deg - bottom) / (top - bottom)

    land = [f"{x(b):.1f},{y(e):.1f}" for b, e in zip(bearings, elevations, strict=True)]
    levels = np.arange(bottom, top + step / 2, step)
    return {
        "points": " ".join([f"{LEFT},{FLOOR}", *land, f"{RIGHT},{FLOOR}"]),
        "levels": [
            {"y": f"{y(v):.1f}", "text_y": f"{y(v) + 6:.1f}", "label": f"{v:g}°".replace("-", "−")}
            for v in levels
        ],
        "ticks": [
            {
                "x": f"{x(b):.1f}",
                "label": "" if b % 90 else _quarter(b % 360),
            }
            for b in range(0, 361, 45)
        ],
        "top_deg": top,
        "floor": f"{FLOOR}",
        "floor_end": f"{FLOOR + 6}",
        "ticks_y": f"{FLOOR + 26}",
        "caption_y": f"{FLOOR + 50}",
        "height": f"{FLOOR + 58:.0f}",
    }


def _quarter(bearing_deg: int) -> str:
    letter = pgettext("point of the compass", compass_point(bearing_deg))
    return f"{bearing_deg:03d}° {letter}"


def pasted_pairs(text: str) -> list[str]:
    """The pairs of a pasted list as words such as '90:4.5', in their order.

    A line holds one bearing and one elevation, parted by a tab, spaces, a semicolon or a comma,
    or any number of words with a colon. A line of letters only is taken for a heading. What
    cannot be read is returned as it is, so that the profile's reader can say what is wrong.
    """
    pairs: list[str] = []
    for line in text.replace("−", "-").replace("°", " ").splitlines():
        if not line.strip() or not re.search(r"\d", line):
            # A heading; a sign of its own is no pair either.
            continue
        if ":" in line:
            words = re.sub(r"\s*:\s*", ":", line).replace(";", " ")
            pairs += [word.rstrip(",").replace(",", ".") for word in words.split()]
        else:
            pairs.append(_pair_of_line(line))
    return pairs


def _pair_of_line(line: str) -> str:
    parts = [part for part in re.split(r"[\s;]+|,\s+", line.strip()) if part]
    if len(parts) == 1 and parts[0].count(",") == 1:
        return parts[0].replace(",", ":")
    if len(parts) == 2:
        return ":".join(part.rstrip(",").replace(",", ".") for part in parts)
    return ",".join(parts)
