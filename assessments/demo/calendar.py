"""The drills of the two seasons: what, when by the clock of the place, and how checked."""

from dataclasses import dataclass

from assessments.demo.places import ALPINE_2025, ALPINE_2026, OTAGO_2026


@dataclass(frozen=True)
class Outing:
    """`at` is the local start; `check` the batch format's, blank where no line is laid; `goes`
    attempts for each student."""

    exercise: str
    at: str
    check: str
    goes: int = 1
    assessed: bool = True
    sky: str = "clear"
    ground: str = "short grass"
    own_declination: str = ""


OUTINGS = {
    ALPINE_2025: [
        Outing("Shadow-tip line", "2025-06-10 09:40", "compass", 2, assessed=False),
        Outing("Watch face", "2025-06-11 15:10", "compass", sky="clear, some haze"),
        Outing("Hands above the horizon", "2025-06-20 09:50", "landmark"),
        Outing("Shortest shadow", "2025-06-24 13:36", "shadow"),
        Outing("Equal shadows", "2025-07-02 10:30", "compass", sky="a few clouds"),
        Outing("First and last shadow", "2025-07-10 08:00", "direct"),
        Outing("Shadow-tip line", "2025-07-23 12:50", "landmark", ground="gravel by the beck"),
        Outing("Hands above the horizon", "2025-09-09 09:30", "compass", sky="high cloud"),
        Outing("Watch face", "2025-08-21 10:20", "shadow"),
        Outing("Equal shadows", "2025-09-03 11:10", "landmark", sky="clear after rain"),
        Outing("Shadow-tip line", "2025-09-10 10:00", "shadow", 2, ground="wet grass"),
        Outing("North by the pole star", "2025-09-08 21:40", "compass", sky="no moon, no cloud"),
        Outing("Pace count over 400 m", "2025-06-12 09:30", "", 2, assessed=False),
        Outing("Compass leg over open ground", "2025-08-22 14:00", "", sky="high cloud"),
        Outing("Where am I?", "2025-08-26 10:00", "", sky="overcast", ground="stony"),
    ],
    OTAGO_2026: [
        Outing(
            "Shadow-tip line", "2026-01-08 10:10", "compass", 2, assessed=False, ground="stubble"
        ),
        Outing("Hands above the horizon", "2026-01-14 10:00", "compass", ground="stubble"),
        Outing("Watch face", "2026-01-15 15:40", "landmark", sky="windy, clear"),
        Outing("Shortest shadow", "2026-01-27 13:52", "compass"),
        Outing("First and last shadow", "2026-02-03 07:00", "compass", sky="clear, frost"),
        Outing("Equal shadows", "2026-02-11 11:20", "shadow"),
        Outing("Shadow-tip line", "2026-02-19 14:00", "direct", sky="thin high cloud"),
        Outing("Hands above the horizon", "2026-02-26 16:50", "landmark"),
        Outing("Watch face", "2026-03-05 10:30", "compass", own_declination="24"),
        Outing("Shadow-tip line", "2026-03-18 15:00", "compass", 2, sky="nor’west arch"),
        Outing("South by the southern cross", "2026-03-10 22:10", "compass", sky="frost, clear"),
        Outing("Distance by eye", "2026-01-09 15:00", "", ground="stubble"),
        Outing("Ready to leave camp", "2026-03-12 08:30", "", sky="drizzle"),
    ],
    ALPINE_2026: [
        Outing(
            "Shadow-tip line with declared correction",
            "2026-05-12 09:50",
            "compass",
            2,
            assessed=False,
        ),
        Outing("East by the hands", "2026-05-13 10:20", "landmark"),
        Outing("Watch face, own error", "2026-06-03 14:50", "shadow", sky="a few clouds"),
        Outing("Shadow-tip line with declared correction", "2026-06-20 09:30", "landmark"),
        Outing("Shortest shadow, own error", "2026-07-01 13:40", "compass"),
        Outing("First and last shadow over the skyline", "2026-07-15 08:00", "compass"),
        Outing("Equal shadows, own error", "2026-08-05 10:40", "shadow", sky="haze"),
        Outing("Shadow-tip line with declared correction", "2026-08-19 16:10", "compass", 2),
        Outing("Watch face, own error", "2026-09-02 11:00", "direct"),
        Outing("East by the hands", "2026-09-16 16:00", "compass", sky="clear, cold"),
        Outing("Shadow-tip line with declared correction", "2026-09-23 11:30", "compass", 0),
    ],
}
"""The last outing of the last cohort has no results: there is something left to log."""
