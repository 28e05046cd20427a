"""Prints times and ratios, measured side by side in one run; asserts nothing.

python -m tests.benchmarks [sun] [hours] [magnetic] [file] [records] [packets] [timetable] [writers]
[load [--only results,drills]]
"""

import argparse
import platform
import sys

import numpy as np

from tests.benchmarks import (
    hours,
    load,
    magnetic,
    packets,
    records,
    season,
    sun,
    timetable,
    writers,
)

PARTS = {
    "sun": (sun.year_at_one_place, sun.scattered_points),
    "hours": (hours.year_of_all_methods,),
    "magnetic": (magnetic.places_at_once,),
    "records": (records.pages_of_records,),
    "packets": (packets.packets_of_a_cohort,),
    "timetable": (timetable.whole_week,),
    "writers": (writers.eight_writers,),
    "load": (load.pages_under_load,),
    "file": (season.one_attempt, season.file_of_attempts),
}


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("parts", nargs="*", metavar="part", help=", ".join(PARTS))
    parser.add_argument("--only", default="", help="pages of `load`, separated by commas")
    asked = parser.parse_args()
    unknown = [name for name in asked.parts if name not in PARTS]
    if unknown:
        sys.exit(f"{unknown[0]} is not one of: {', '.join(PARTS)}.")
    print(f"Python {platform.python_version()}, NumPy {np.__version__}, {platform.machine()}")
    for name in asked.parts or PARTS:
        for measure in PARTS[name]:
            if name == "load":
                measure([page.strip() for page in asked.only.split(",") if page.strip()])
            else:
                measure()


main()
