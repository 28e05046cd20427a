"""Prints times and ratios, measured side by side in one run; asserts nothing.

python -m tests.benchmarks [sun] [hours] [magnetic] [file] [records] [packets] [timetable] [writers]
[load]
"""

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


def main(wanted: list[str]) -> None:
    unknown = [name for name in wanted if name not in PARTS]
    if unknown:
        sys.exit(f"{unknown[0]} is not one of: {', '.join(PARTS)}.")
    print(f"Python {platform.python_version()}, NumPy {np.__version__}, {platform.machine()}")
    for name in wanted or PARTS:
        for measure in PARTS[name]:
            measure()


main(sys.argv[1:])
