"""Drawings and sheets to test with, worked out here from the sun's place, not by the product."""

import math
from dataclasses import replace
from datetime import UTC, datetime

from assessments.sheets.skill_sheet import Place, Record, SkillSheet, Standard
from assessments.sheets.words import Numbers

UTC_DAY = "2026-06-21"


def a_mark(time: str, azimuth_deg: float, elevation_deg: float, *, stick_m: float = 1.0) -> dict:
    """A mark where the tip of a stick's shadow falls on level ground."""
    length = stick_m / math.tan(math.radians(elevation_deg))
    away = math.radians(azimuth_deg + 180.0)
    return {
        "time": f"{UTC_DAY}T{time}:00+00:00",
        "recorded": True,
        "sun_azimuth_deg": azimuth_deg,
        "sun_elevation_deg": elevation_deg,
        "shadow_bearing_deg": (azimuth_deg + 180.0) % 360.0,
        "east_m": length * math.sin(away),
        "north_m": length * math.cos(away),
    }


def a_sun(time: str, azimuth_deg: float, elevation_deg: float) -> dict:
    """The sun's place alone, for methods that mark nothing on the ground."""
    return a_mark(time, azimuth_deg, elevation_deg) | {"east_m": None, "north_m": None}


def line_of(marks: list[dict]) -> float:
    """The bearing of the line from the first mark to the last, degrees."""
    east = marks[-1]["east_m"] - marks[0]["east_m"]
    north = marks[-1]["north_m"] - marks[0]["north_m"]
    return math.degrees(math.atan2(east, north)) % 360.0


def equal_lengths(marks: list[dict], length_m: float = 1.0) -> list[dict]:
    """The same shadows with one length laid along each of them."""
    return [
        mark
        | {
            "east_m": length_m * math.sin(math.radians(mark["shadow_bearing_deg"])),
            "north_m": length_m * math.cos(math.radians(mark["shadow_bearing_deg"])),
        }
        for mark in marks
    ]


def a_drawing(method: str = "shadow-tip", marks: list[dict] | None = None, **changes) -> dict:
    """A drawing of one attempt; the method's line follows from the marks unless it is given."""
    if marks is None:
        marks = [a_mark("07:00", 88.1, 35.2), a_mark("07:15", 91.0, 37.8)]
    target = changes.get("target_deg", 0.0)
    through = method in ("shadow-tip", "first-last", "equal-shadow")
    north = line_of(marks) - 90.0 if through else 0.0
    return {
        "method": method,
        "target_deg": target,
        "laid_deg": 2.1,
        "method_deg": (north + target) % 360.0,
        "stick_m": 1.0,
        "uncertainty_deg": 3.1,
        "marks": marks,
        "assumed_sun_deg": None,
        "slope_deg": 0.0,
        "downhill_deg": 0.0,
    } | changes


def every_method() -> dict[str, dict]:
    """One plausible drawing a method."""
    forenoon, afternoon = a_mark("06:30", 82.0, 30.0), a_mark("14:10", 278.0, 30.0)
    low = [a_mark("03:20", 55.0, 1.5), a_mark("19:10", 304.0, 1.5)]
    return {
        "shadow-tip": a_drawing(),
        "first-last": a_drawing("first-last", equal_lengths(low), laid_deg=357.0),
        "equal-shadow": a_drawing("equal-shadow", equal_lengths([forenoon, afternoon])),
        "shortest-shadow": a_drawing(
            "shortest-shadow", [a_mark("11:20", 179.0, 62.0)], method_deg=359.0
        ),
        "hands": a_drawing(
            "hands",
            [a_sun("08:00", 117.7, 40.0)],
            assumed_sun_deg=135.0,
            method_deg=342.7,
            laid_deg=344.8,
        ),
        "watch": a_drawing(
            "watch",
            [a_sun("15:00", 251.0, 33.0)],
            assumed_sun_deg=225.0,
            method_deg=26.0,
            laid_deg=20.0,
        ),
    }


def awkward_drawings() -> dict[str, dict]:
    """Cases in which labels and lines get into each other's way."""
    long_one = [a_mark("04:00", 60.0, 2.9), a_mark("04:15", 62.6, 4.6)]
    many = [
        a_mark(f"{9 + n // 4:02}:{15 * (n % 4):02}", 120 + 5.0 * n, 50 + 1.0 * n) for n in range(7)
    ]
    night = [
        a_mark("22:30", 350.0, 4.0) | {"time": "2026-06-21T22:30:00+00:00"},
        a_mark("00:40", 22.0, 4.2) | {"time": "2026-06-22T00:40:00+00:00"},
    ]
    south = [a_mark("01:00", 25.0, 31.0), a_mark("01:20", 20.0, 32.0)]
    return {
        "short shadows": a_drawing(
            marks=[a_mark("10:40", 165.0, 73.3), a_mark("10:55", 172.0, 74.0)]
        ),
        "long shadows": a_drawing(marks=long_one),
        "lines on top of one another": a_drawing(
            "watch",
            [a_sun("12:00", 180.2, 50.0)],
            assumed_sun_deg=180.0,
            method_deg=0.2,
            laid_deg=0.1,
            uncertainty_deg=3.4,
        ),
        "opposite way": a_drawing(marks=night, laid_deg=187.0, uncertainty_deg=4.0),
        "southern": a_drawing(marks=south, laid_deg=9.0, slope_deg=6.0, downhill_deg=210.0),
        "many marks": a_drawing(marks=many, laid_deg=356.4),
        "asked for the sun's side": a_drawing(
            "shortest-shadow",
            [a_mark("11:20", 179.0, 62.0)],
            target_deg=180.0,
            method_deg=179.0,
            laid_deg=181.5,
        ),
        "one second marks": a_drawing(
            marks=[
                a_mark("07:00", 88.1, 35.2) | {"time": "2026-06-21T07:00:05+00:00"},
                a_mark("07:01", 88.3, 35.4),
            ],
            target_deg=90.0,
            laid_deg=92.0,
        ),
    }


STEPS = ("Sets the stick upright", "Marks the tip and notes the time", "Lays the line")


def a_place(**changes) -> Place:
    values = {
        "name": "Storvatnet shore",
        "latitude_deg": 61.52,
        "longitude_deg": -8.31,
        "elevation_m": 940.0,
        "zone": "Europe/Oslo",
        "skyline": "profile of 5 points, highest 12.0° at 300°",
    }
    return Place(**(values | changes))


def some_numbers(**changes) -> Numbers:
    values = {
        "method": "shadow-tip",
        "target_deg": 0.0,
        "laid_deg": 2.1,
        "error_deg": 2.1,
        "method_error_deg": -28.5,
        "own_error_deg": 30.6,
        "expanded_uncertainty_deg": 3.1,
        "tolerance_deg": 15.0,
        "verdict": "within",
        "marking_scatter_deg": 2.8,
    }
    return Numbers(**(values | changes))


def a_record(**changes) -> Record:
    values = {
        "observed_at": datetime(2026, 6, 21, 7, 15, tzinfo=UTC),
        "place": a_place(),
        "assessor": "Tor Ekeberg",
        "numbers": some_numbers(),
        "drawing": a_drawing(),
        "observations": (("Mark 1 of 2", "21 June 2026, 09:00 CEST"), ("Stick", "1 m")),
        "steps": STEPS,
        "steps_met": STEPS[:2],
        "sky": "thin high cloud",
        "ground": "short grass",
        "remark": "The stick leaned.",
        "sun_azimuth_deg": 91.0,
        "sun_elevation_deg": 37.8,
        "declination_used_deg": 4.1,
        "engine": "engine 1",
        "magnetic_model": "WMM-2025",
    }
    return Record(**(values | changes))


def a_sheet(kind: str = "attempt", **changes) -> SkillSheet:
    values = {
        "kind": kind,
        "exercise": "North by the shadow",
        "method": "shadow-tip",
        "method_name": "shadow-tip line",
        "task": "Find true north with a stick and lay a cord along it.",
        "standard": Standard(target_deg=0.0, tolerance_deg=15.0, attempts_needed=3),
        "school": "Ridgeway Field School",
        "course": "Direction without a compass",
        "cohort": "Midsummer group",
        "student": "" if kind == "blank" else "Ingrid Holmås",
        "steps": STEPS,
        "records": () if kind == "blank" else (a_record(),),
    }
    return SkillSheet(**(values | changes))


def with_numbers(record: Record, **changes) -> Record:
    return replace(record, numbers=replace(record.numbers, **changes))
