"""Lessons of the invented school, who was at them, and a course that has moved on."""

from assessments.demo.places import FOUNDATION, INSTRUCTORS
from coursework.models import Cohort, Course, Exercise, Lesson, Person, Role
from coursework.services import mark_attendance, next_version, publish, save_exercise, save_lesson

_STICK_KIT = "Straight stick of about 1 m\nPegs or pebbles for marks\nCord, 3 m\nNotebook, pencil"
_SUN = "Nobody looks at the sun, not even through cloud: shadows only."

LESSONS = {
    FOUNDATION: [
        {
            "title": "What the sun does in a day",
            "minutes": 50,
            "objectives": (
                "Says where the sun rises, stands highest and sets at this time of year.\n"
                "Tells true north, grid north and magnetic north apart."
            ),
            "outline": (
                "## The day's arc (20 min)\n\nWalk it with an outstretched arm *below* the sun. "
                "Ask before you tell:\n\n- Where was it at breakfast?\n- Where is it when "
                "shadows are shortest?\n\n## Three norths (20 min)\n\n"
                "| North | Found by |\n| --- | --- |\n| true | sun and stars |\n"
                "| grid | lines of the map |\n| magnetic | compass |\n\n"
                "## What it costs to be wrong (5 min)\n\n"
                "Ten degrees are **174 m sideways** in a kilometre."
            ),
            "kit": "Globe or ball\nMap of the area\nCompass",
            "cautions": f"{_SUN}\nHats and water: the whole lesson is in the open.",
            "references": "School handbook, sheet 2",
        },
        {
            "title": "Stick and shadow",
            "minutes": 90,
            "after": ["What the sun does in a day"],
            "objectives": (
                "Sets a stick upright and marks tips small and at once.\n"
                "Says how far the line is off at this hour, and to which side."
            ),
            "outline": (
                "## Set the stick (10 min)\n\n1. Firm ground, plumb by the cord.\n"
                "2. First mark at once.\n\n## Wait and mark (40 min)\n\n"
                "The longer the wait, the less the marks' scatter turns the line.\n\n"
                "## Lay the line (15 min)\n\nFrom the middle of both marks.\n\n"
                "## Check and talk (20 min)\n\nFirst what the *method* did, then what *we* did."
            ),
            "kit": _STICK_KIT,
            "cautions": f"{_SUN}\nStick ends stay below eye height when carried.",
            "references": "School handbook, sheet 4",
        },
        {
            "title": "Equal and shortest shadows",
            "minutes": 120,
            "after": ["Stick and shadow"],
            "objectives": "Finds the noon line from two shadows of one length.",
            "outline": (
                "## Forenoon mark and arc (20 min)\n\nDraw the arc with a taut cord.\n\n"
                "## Noon watch (60 min)\n\nMark every five minutes; the tips turn back.\n\n"
                "## Afternoon mark (30 min)\n\nWhere the tip meets the arc again."
            ),
            "kit": f"{_STICK_KIT}\nSecond cord for the arc",
            "cautions": f"{_SUN}\nTwo hours without shade: rotate, drink, sit down.",
        },
        {
            "title": "Hands and watch",
            "minutes": 60,
            "after": ["What the sun does in a day"],
            "objectives": "Measures their own hand.\nSays what summer time does to a watch face.",
            "outline": (
                "## Measure the hand (20 min)\n\nAgainst marks whose bearings are known.\n\n"
                "## Count above the skyline (20 min)\n\n## The watch face (15 min)"
            ),
            "kit": "Watch with hands, or a drawn face\nTape measure",
            "cautions": (
                "Counting brings the eyes near the sun: cover it with the hand, look at the "
                "skyline, stop if it dazzles."
            ),
        },
    ],
    INSTRUCTORS: [
        {
            "title": "Where each method errs",
            "minutes": 75,
            "objectives": (
                "Sketches the error of each method over a day and over a year.\n"
                "Chooses an hour at which a drill is worth holding."
            ),
            "outline": (
                "## Errors by hour (30 min)\n\nOne method a group: its error at each hour of a "
                "June day, drawn on squared paper. Where is it nought?\n\n"
                "## Errors by season (20 min)\n\nThe same hour in March, June and December.\n\n"
                "## Choose an hour (20 min)\n\nEach plans one drill and defends it."
            ),
            "kit": "Sun tables of the sites\nSquared paper",
            "cautions": _SUN,
        },
        {
            "title": "Declaring a correction",
            "minutes": 60,
            "after": ["Where each method errs"],
            "objectives": "Declares a correction before the check, with its side.",
            "outline": (
                "## Why before the check (15 min)\n\nWho knows the answer corrects towards it."
                "\n\n## Three lines each (40 min)\n\n"
                "Left and right are said **aloud** and written down."
            ),
            "kit": _STICK_KIT,
            "cautions": _SUN,
        },
        {
            "title": "Checking a line fairly",
            "minutes": 90,
            "after": ["Where each method errs"],
            "objectives": "Names what the uncertainty of a check is made of.",
            "outline": (
                "## Compass and its correction (30 min)\n\nDeclination of the day, and what the "
                "check of each compass found.\n\n"
                "## Marks of known bearing (30 min)\n\nThe same line checked both ways: how far "
                "apart are the two?\n\n"
                "## Too close to call (25 min)\n\nWhat to do when the check cannot decide: a finer "
                "one, or another line."
            ),
            "kit": "Numbered compasses\nList of reference marks",
            "cautions": "Iron and phones stay two metres from a compass that is read.",
        },
    ],
}

NEEDS = {
    FOUNDATION: {
        "Shadow-tip line": ["Stick and shadow"],
        "Equal shadows": ["Equal and shortest shadows"],
        "Hands above the horizon": ["Hands and watch"],
        "Watch face": ["Hands and watch"],
    },
    INSTRUCTORS: {"Shadow-tip line with declared correction": ["Declaring a correction"]},
}


def add_lessons(admin: Person, course: Course) -> None:
    """The lessons of a draft in their order, and those that its exercises wait for."""
    made: dict[str, Lesson] = {}
    for fields in LESSONS[course.title]:
        fields = dict(fields)
        before = [made[title] for title in fields.pop("after", [])]
        lesson = Lesson(course=course, **fields)
        lesson.full_clean()
        made[lesson.title] = save_lesson(admin, lesson, before)
    for title, before in NEEDS[course.title].items():
        exercise = course.exercises.get(title=title)
        save_exercise(admin, exercise, [made[name] for name in before])


def take_attendance(cohort: Cohort) -> None:
    """The first two lessons, marked by the cohort's lead; each time someone else is missing."""
    lead = cohort.enrolments.filter(role=Role.LEAD).first().person
    rows = cohort.enrolments.filter(role=Role.STUDENT).order_by("person__name", "id")
    people = list(rows.values_list("person", flat=True))
    for place, lesson in enumerate(cohort.course.lessons.order_by("position")[:2]):
        absent = people[(3 * place + 1) % len(people)]
        mark_attendance(lead, cohort, lesson, {person: person != absent for person in people})


def move_on(admin: Person, courses: dict[str, Course]) -> None:
    """A second version that a cohort has not moved to yet, and a draft of one."""
    newer = next_version(admin, courses[INSTRUCTORS])
    exercise = newer.exercises.get(title="Shadow-tip line with declared correction")
    exercise.tolerance, exercise.distinct_days, exercise.forenoon_and_afternoon = 7.0, 2, True
    save_exercise(admin, exercise, exercise.lessons.all())
    lesson = newer.lessons.get(title="Checking a line fairly")
    lesson.minutes, lesson.kit = 100, f"{lesson.kit}\nStopwatch"
    save_lesson(admin, lesson, lesson.prerequisites.all())
    save_lesson(
        admin,
        Lesson(
            course=newer,
            title="Talking through an error",
            minutes=45,
            objectives="Lets the student find the cause before naming it.",
            outline="## Listen first (15 min)\n\n## One cause, one change (25 min)",
            kit="Error history of a student who agreed to it",
            cautions="In the shade, with water; nobody learns in the heat.",
        ),
        [lesson],
    )
    newer.change_note = (
        "Evidence on two days, forenoon and afternoon, since one good morning showed little. "
        "A lesson on talking through errors is new."
    )
    newer.save(update_fields=["change_note"])
    publish(admin, newer)
    draft = next_version(admin, courses[FOUNDATION])
    exercise: Exercise = draft.exercises.get(title="Watch face")
    exercise.tolerance = 20.0
    save_exercise(admin, exercise, exercise.lessons.all())
