"""The line that is drawn for each method, and the one that is worked through."""

from datetime import date
from functools import lru_cache

from assessments.manual.scored import (
    HAND_DEG,
    NORTHERN,
    READING_U_DEG,
    SOUTHERN,
    Scored,
    at,
    noon_of,
    row_of,
    scored,
)

SUMMER, SPRING = date(2026, 6, 20), date(2026, 4, 18)
# The true bearing of the line that the student of the drawing laid for north.
_LAID = {
    "shadow-tip": 341.0,
    "first-last": 2.5,
    "equal-shadow": 357.0,
    "shortest-shadow": 352.0,
    "hands": 355.0,
    "watch": 333.0,
    "pole-star": 3.0,
    "southern-cross": 176.0,
}


@lru_cache(maxsize=32)
def example_of(method: str) -> Scored:
    """A line by that method, checked directly with a standard uncertainty of 1.5 degrees."""
    site = SOUTHERN if method == "southern-cross" else NORTHERN
    given = {
        "shadow-tip": lambda: {"times": [at(SUMMER, "09:30"), at(SUMMER, "09:45")]},
        "first-last": lambda: {"date": SUMMER.isoformat(), "order": "day"},
        "equal-shadow": lambda: {"times": [at(SUMMER, "10:30")]},
        "shortest-shadow": lambda: {"times": [noon_of(SUMMER)]},
        "hands": lambda: {
            "times": [at(SPRING, "10:30")],
            "hands": 4.0,
            "degrees_per_hand": HAND_DEG,
        },
        "watch": lambda: {"times": [at(SUMMER, "10:30")]},
        "pole-star": lambda: {"times": [at(SUMMER, "23:30")]},
        "southern-cross": lambda: {"times": [at(SUMMER, "20:00", SOUTHERN)], "target_deg": 180.0},
    }[method]()
    more = {"reading_deg": _LAID[method], "reading_u_deg": READING_U_DEG} | given
    return scored(row_of(method, site, **more))


@lru_cache(maxsize=1)
def worked_example() -> Scored:
    """A shadow-tip line on a June forenoon, checked by a compass that reads 1.5° too much."""
    row = row_of(
        "shadow-tip",
        NORTHERN,
        times=[at(SUMMER, "10:00"), at(SUMMER, "10:20")],
        check="compass",
        reading_deg=346.5,
        correction_deg=-1.5,
        reading_u_deg=READING_U_DEG,
    )
    return scored(row)
