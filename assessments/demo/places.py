"""Where the invented school goes, with what, and what it teaches."""

from datetime import date

from coursework.models import JudgedOn, Method, Rule

MEADOW, TERRACE = "Pré de l’Aubette", "Kōwhai Terrace"

SITES = [
    {
        "name": MEADOW,
        "latitude_deg": 45.2136,
        "longitude_deg": 6.5472,
        "elevation_m": 1240.0,
        "zone": "Europe/Paris",
        # A valley that opens to the south-west, with a wall to the east.
        "horizon": (
            "0:14 30:17.5 60:21 85:19 110:15.5 140:11 165:7.5 190:5 215:3.5 240:4 265:8.5 "
            "290:12 320:15 345:13.5"
        ),
        "hazards": (
            "The beck at the northern edge is deep after rain. Afternoon storms build over the "
            "eastern wall: leave the open meadow at the first thunder."
        ),
        "emergency": "Road head 600 m down the valley. Radio relay on the chapel hill.",
        "rally_words": "The stone sheepfold beside the cart track.",
        "rally_latitude_deg": 45.2108,
        "rally_longitude_deg": 6.5436,
        "safe_heading_deg": 225,
        "safe_heading_to": "the cart track along the valley floor, 500 m at most",
        "lost_steps": "Stop and stay where you are for five minutes.\n"
        "Blow the whistle three times, wait a minute, and again.\n"
        "No answer: walk south-west to the cart track, then down it to the sheepfold.",
        "students_per_instructor": 6,
    },
    {
        "name": TERRACE,
        "latitude_deg": -45.0318,
        "longitude_deg": 169.2905,
        "elevation_m": 410.0,
        "zone": "Pacific/Auckland",
        "slope_deg": 3.0,
        "downhill_deg": 20.0,
        "hazards": "No shade and no water. Rabbit holes across the whole terrace.",
        "emergency": "Landing place on the stubble field east of the gate.",
        "rally_words": "The gate in the stone wall.",
        "rally_latitude_deg": -45.032,
        "rally_longitude_deg": 169.2938,
        "safe_heading_deg": 90,
        "safe_heading_to": "the stone wall with the gate, 300 m at most",
        "lost_steps": "Stop and put on what you carry against the wind.\n"
        "Three blasts of the whistle every minute.\n"
        "Walk east to the stone wall and follow it to the gate.",
        "students_per_instructor": 6,
    },
]

MARKS = {
    MEADOW: [
        ("Chapel spire", 204.6),
        ("Cairn on the eastern wall", 83.2),
        ("Relay mast", (45.2367, 6.5187)),
    ],
    TERRACE: [("Trig beacon", (-44.9874, 169.2698)), ("Woolshed gable", 96.4)],
}
"""By a measured bearing, or by latitude and longitude."""

INSTRUMENTS = [
    {"label": "A", "correction_deg": 0.0, "reading_u_deg": 1.5},
    {"label": "B", "correction_deg": -1.5, "reading_u_deg": 1.5},
    {"label": "C", "correction_deg": 2.0, "reading_u_deg": 1.0},
    {"label": "P1", "kind": "protractor", "reading_u_deg": 1.0},
]

FOUNDATION, INSTRUCTORS = "Finding the way without a compass", "Direction finding for instructors"

COURSES = {
    FOUNDATION: "Eight ways to find north by sun and stars, how far each can be trusted, and how "
    "to keep a line once it is found.",
    INSTRUCTORS: "The same lines, judged on what the student did and not on what the hour did.",
}

_STICK_STEPS = "Sets the stick upright and firm.\nMarks each tip at once and small.\n"
_CAUTION_STEP = "Works from the shadow and never looks at the sun."

WITHOUT_THE_SUN = [
    {
        "title": "Pace count over 400 m",
        "method": Method.PACE_COUNT,
        "task": "Walk the taped line and tell its length from your count.",
        "steps": "Counts every second step.\nKeeps the count on beads or pebbles.",
        "tolerance": 5.0,
    },
    {
        "title": "Distance by eye",
        "method": Method.DISTANCE,
        "task": "Tell how far the gate is from where you stand.",
        "tolerance": 20.0,
        "attempts_needed": 2,
    },
    {
        "title": "Compass leg over open ground",
        "method": Method.LEG,
        "task": "Walk the bearing given to a goal you cannot see, and stop where it should be.",
        "steps": "Sights on a mark ahead, never past it.\nCounts paces on the way.",
        "tolerance": 40.0,
        "judged_on": JudgedOn.ARRIVAL,
    },
    {
        "title": "Where am I?",
        "method": Method.POSITION,
        "task": "Find your position by bearings to two things you know and plot it on the map.",
        "steps": "Takes both bearings twice.\nTurns them into map bearings before plotting.",
        "tolerance": 100.0,
    },
    {
        "title": "Ready to leave camp",
        "method": Method.CHECKLIST,
        "task": "Get your pair ready to leave camp for two hours.",
        "steps": "Says where they go and when they are back.\nCarries whistle, lamp and warmth.\n"
        "Names the rally point and the safe heading.\nChecks the partner’s kit.",
        "attempts_needed": 1,
        "tolerance": 0.0,
    },
]

EXERCISES = {
    FOUNDATION: [
        {
            "title": "Shadow-tip line",
            "method": Method.SHADOW_TIP,
            "task": "Find north with a stick and two marks, and lay a line towards it.",
            "steps": f"{_STICK_STEPS}Waits long enough between marks.\n"
            f"Lays the line from the middle of both marks.\n{_CAUTION_STEP}",
            "tolerance": 15.0,
        },
        {
            "title": "First and last shadow",
            "method": Method.FIRST_LAST,
            "task": "Find east and west from the first and the last shadow of the day.",
            "steps": f"{_STICK_STEPS}Lays off equal lengths along both shadows.\n{_CAUTION_STEP}",
            "tolerance": 10.0,
        },
        {
            "title": "Equal shadows",
            "method": Method.EQUAL_SHADOW,
            "task": "Find north from a forenoon and an afternoon shadow of equal length.",
            "steps": f"{_STICK_STEPS}Draws the arc with a taut cord.\n"
            f"Marks where the afternoon tip meets the arc.\n{_CAUTION_STEP}",
            "tolerance": 5.0,
        },
        {
            "title": "Shortest shadow",
            "method": Method.SHORTEST_SHADOW,
            "task": "Mark the shortest shadow of the day and lay a line towards north by it.",
            "steps": f"{_STICK_STEPS}Marks from well before noon until well after.\n"
            f"{_CAUTION_STEP}",
            "tolerance": 10.0,
        },
        {
            "title": "Hands above the horizon",
            "method": Method.HANDS,
            "task": "Count the hands between skyline and sun, and lay a line towards north.",
            "steps": "Stretches the arm fully.\nShields the eyes and looks below the sun only.\n"
            "Says the count before laying the line.",
            "tolerance": 20.0,
        },
        {
            "title": "Watch face",
            "method": Method.WATCH,
            "task": "Find north with the face of a watch and a shadow.",
            "steps": "Asks whether the watch shows summer time.\nHolds the face level.\n"
            f"{_CAUTION_STEP}",
            "tolerance": 25.0,
        },
        {
            "title": "North by the pole star",
            "method": Method.POLE_STAR,
            "task": "Lay a line towards north below the pole star and mark it with two stakes.",
            "steps": "Finds the pole star from two other groups of stars.\n"
            "Drops it to the ground with a plumb line.\nStands still while looking up.",
            "tolerance": 5.0,
        },
        {
            "title": "South by the southern cross",
            "method": Method.SOUTHERN_CROSS,
            "task": "Draw out the long axis of the cross, drop the point and lay a line south.",
            "steps": "Tells the cross from the false one.\n"
            "Draws the axis out four and a half lengths.\nStands still while looking up.",
            "target_deg": 180.0,
            "tolerance": 8.0,
        },
        *WITHOUT_THE_SUN,
    ],
    INSTRUCTORS: [
        {
            "title": "Shadow-tip line with declared correction",
            "method": Method.SHADOW_TIP,
            "task": "Lay a line towards north at any hour. Declare a correction if one is due.",
            "steps": f"{_STICK_STEPS}Names the method’s error for this hour.\n"
            f"Declares the correction before the check.\n{_CAUTION_STEP}",
            "wants_wrong_hours": True,
            "tolerance": 8.0,
        },
        {
            "title": "Equal shadows, own error",
            "method": Method.EQUAL_SHADOW,
            "task": "Find north from two shadows of equal length.",
            "steps": f"{_STICK_STEPS}{_CAUTION_STEP}",
            "tolerance": 4.0,
            "judged_on": JudgedOn.OWN,
        },
        {
            "title": "East by the hands",
            "method": Method.HANDS,
            "task": "Count the hands and lay a line towards east.",
            "steps": "Stretches the arm fully.\nSays the count before laying the line.",
            "target_deg": 90.0,
            "tolerance": 12.0,
            "judged_on": JudgedOn.OWN,
        },
        {
            "title": "Watch face, own error",
            "method": Method.WATCH,
            "task": "Lay a line towards north with a watch.",
            "steps": f"Holds the face level.\n{_CAUTION_STEP}",
            "tolerance": 10.0,
            "judged_on": JudgedOn.OWN,
            "rule": Rule.PLAIN,
        },
        {
            "title": "Shortest shadow, own error",
            "method": Method.SHORTEST_SHADOW,
            "task": "Lay a line towards north by the shortest shadow.",
            "steps": f"{_STICK_STEPS}{_CAUTION_STEP}",
            "tolerance": 6.0,
            "judged_on": JudgedOn.OWN,
        },
        {
            "title": "First and last shadow over the skyline",
            "method": Method.FIRST_LAST,
            "task": "Find north from the first and the last shadow in a valley.",
            "steps": f"{_STICK_STEPS}{_CAUTION_STEP}",
            "tolerance": 6.0,
            "judged_on": JudgedOn.OWN,
        },
    ],
}

ALPINE_2025, OTAGO_2026, ALPINE_2026 = "Alpine summer 2025", "Otago summer 2026", "Alpine 2026–27"

COHORTS = {
    ALPINE_2025: (FOUNDATION, MEADOW, date(2025, 6, 2), date(2025, 9, 12)),
    OTAGO_2026: (FOUNDATION, TERRACE, date(2026, 1, 5), date(2026, 3, 27)),
    ALPINE_2026: (INSTRUCTORS, MEADOW, date(2026, 5, 4), date(2027, 9, 24)),
}
"""Course, usual site, first and last day."""
