"""Rows of the batch format that can be scored, one a method, and scores of them as plain values.

A place in the Bernese Alps in May, with the sun well up; every test changes what matters to it.
"""

from solar.columns import BESIDE_FILE, COLUMNS
from solar.scoring import NUMBERS, score

TAKEN = COLUMNS + BESIDE_FILE
BASE = {
    "attempt": "A1",
    "method": "shadow-tip",
    "lat": "46.5",
    "lon": "8.0",
    "zone": "Europe/Zurich",
    "times": "2026-05-10T10:00;2026-05-10T10:15",
    "check": "direct",
    "reading_deg": "2",
    "tolerance_deg": "10",
}
BY_METHOD = {
    "shadow-tip": {},
    "first-last": {"times": "2026-05-10T07:00;2026-05-10T19:30"},
    "equal-shadow": {"times": "2026-05-10T10:00"},
    "shortest-shadow": {"times": "2026-05-10T13:25"},
    "hands": {"times": "2026-05-10T10:00", "hands": "3"},
    "watch": {"times": "2026-05-10T10:00"},
}
COMPUTED = {"method": "first-last", "times": "", "date": "2026-05-10", "order": "day"}
COMPASS = {"check": "compass"}
SHADOW = {"check": "shadow", "check_time": "2026-05-10T10:20"}
LANDMARK = {"check": "landmark", "landmark_deg": "45"}


def row(**changes) -> dict:
    """One row with all columns: that of its method, changed as asked."""
    method = changes.get("method", "shadow-tip")
    return dict.fromkeys(TAKEN, "") | BASE | BY_METHOD.get(method, {}) | changes


def table(rows: list[dict]) -> dict[str, list]:
    return {name: [each[name] for each in rows] for name in TAKEN}


def scores_of(*rows: dict):
    return score(table(list(rows)))


def scored(**changes) -> dict:
    """The added columns of one row as plain values, None for blank; and `fault_column`."""
    scores = scores_of(row(**changes))
    values = {name: scores.columns[name][0] for name in scores.columns}
    values |= {name: None if values[name] != values[name] else float(values[name])
               for name in (*NUMBERS, "sun_azimuth_deg", "sun_elevation_deg",
                            "declination_used_deg")}  # fmt: skip
    return values | {"fault_column": scores.fault_column[0]}


def problem(**changes) -> str:
    return scored(**changes)["problem"]
