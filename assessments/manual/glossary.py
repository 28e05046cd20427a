"""The glossary: terms of the trade and of the application, each in a sentence or two."""

from dataclasses import dataclass

from django.utils.translation import gettext as _


@dataclass(frozen=True)
class Term:
    """`name` is its anchor and stays the same in every language."""

    name: str
    word: str
    meaning: str


def terms() -> list[Term]:
    """All terms in the language in force, in the order of their words."""
    return sorted((*_directions(), *_scores(), *_course(), *_field()),
                  key=lambda term: term.word.casefold())  # fmt: skip


def _directions() -> list[Term]:
    return [
        Term(
            "true-bearing",
            _("True bearing"),
            _("A direction in degrees clockwise from true north, from 0° to 360°."),
        ),
        Term(
            "azimuth",
            _("Sun’s bearing (azimuth)"),
            _("The true bearing of the point of the horizon straight below the sun."),
        ),
        Term(
            "sun-height",
            _("Sun’s height (elevation)"),
            _(
                "The angle of the sun’s middle above a level horizon, as it is seen through the "
                "air, in degrees."
            ),
        ),
        Term(
            "declination",
            _("Declination"),
            _(
                "The angle from true north to where a compass needle points at a place and date; "
                "east is added to a reading. It comes from the World Magnetic Model of that date."
            ),
        ),
        Term(
            "convergence",
            _("Grid convergence"),
            _("The angle from true north to the north of a map’s grid at a place."),
        ),
        Term(
            "solar-noon",
            _("Sun’s noon"),
            _(
                "The instant at which the sun passes the meridian of a place. It is seldom at "
                "12:00: it depends on the longitude, the time zone and the date."
            ),
        ),
        Term(
            "equinox",
            _("Equinox"),
            _("A date in March and one in September on which the sun rises due east."),
        ),
        Term(
            "skyline",
            _("Skyline"),
            _(
                "What stands above the level horizon around a site, as heights in degrees by "
                "bearing. It says when the sun is to be seen there."
            ),
        ),
        Term(
            "reference-mark",
            _("Reference mark"),
            _("A point seen from a site whose true bearing is known, used to check lines."),
        ),
    ]


def _scores() -> list[Term]:
    return [
        Term(
            "result-error",
            _("Result error"),
            _(
                "How far the line laid points from the line asked for: degrees to the right or to "
                "the left."
            ),
        ),
        Term(
            "method-error",
            _("Method’s error"),
            _(
                "How far the line of a perfect practitioner points from the line asked for, at "
                "that place, date and hour."
            ),
        ),
        Term(
            "own-error",
            _("Own error"),
            _(
                "The result error less the method’s error: what the student did. With a declared "
                "correction it is the whole result error."
            ),
        ),
        Term(
            "counting-error",
            _("Counting error"),
            _(
                "With hands above the horizon, the part of the student’s own error that comes from "
                "counting another number of hands than there were."
            ),
        ),
        Term(
            "declared-correction",
            _("Declared correction"),
            _(
                "A turn that a student makes on purpose, against the method’s error, and says "
                "before the check."
            ),
        ),
        Term(
            "marking-scatter",
            _("Marking scatter"),
            _(
                "How much a careful line scatters from one try to the next because marks are set "
                "to some millimetres: a standard deviation in degrees."
            ),
        ),
        Term(
            "expanded-uncertainty",
            _("Expanded uncertainty"),
            _(
                "How well the check knows the line, printed as ±: twice the combined standard "
                "uncertainty (JCGM 100)."
            ),
        ),
        Term(
            "guard-band",
            _("Guard band"),
            _(
                "A strip as wide as the expanded uncertainty on either side of the tolerance, in "
                "which a result is too close to call (JCGM 106)."
            ),
        ),
        Term(
            "tolerance",
            _("Tolerance"),
            _("How far a result may be off to either side: degrees, percent or metres."),
        ),
        Term(
            "verdict",
            _("Verdict"),
            _("Within the standard, outside the standard, or too close to call."),
        ),
        Term(
            "mean-direction",
            _("Mean direction, spread, R"),
            _(
                "Statistics of directions: the mean turn, the circular standard deviation, and "
                "the mean resultant length, 1 where all lines are alike and 0 where they cancel."
            ),
        ),
    ]


def _course() -> list[Term]:
    return [
        Term(
            "course",
            _("Course"),
            _("Lessons and exercises in order. A published version of it no longer changes."),
        ),
        Term("cohort", _("Cohort"), _("The people who take a course together, and when.")),
        Term(
            "exercise",
            _("Exercise"),
            _("One thing to do in the field: a method, a task, and a standard."),
        ),
        Term(
            "standard",
            _("Standard"),
            _(
                "What an exercise asks for: how close, judged on what, by which rule, how often, "
                "and spread over what."
            ),
        ),
        Term(
            "drill",
            _("Drill"),
            _("An exercise held with a cohort or some of its groups, at a site and a time."),
        ),
        Term(
            "planned-lesson",
            _("Planned lesson"),
            _(
                "A lesson of the course put into the calendar of a cohort or some of its groups, "
                "at a site or at a place in words. Planned is not held: attendance says that."
            ),
        ),
        Term(
            "practice",
            _("Practice"),
            _("What is not assessed: it is scored and taken apart, and counts for nothing."),
        ),
        Term(
            "revision",
            _("Revision"),
            _("One version of a record. A correction adds one; the earlier ones stay."),
        ),
        Term(
            "sign-off",
            _("Sign-off"),
            _("An instructor’s word that a student has shown a skill, with what it rests on."),
        ),
        Term(
            "certification",
            _("Certification"),
            _("A set of skills with a rule each. Who has shown all of them may get a certificate."),
        ),
        Term(
            "packet",
            _("Packet"),
            _("The signed PDF of a certificate: the skills, their evidence, and the errors."),
        ),
    ]


def _field() -> list[Term]:
    return [
        Term(
            "site",
            _("Site"),
            _("Where drills are held: position, time zone, skyline, ground and hazards."),
        ),
        Term(
            "instrument-correction",
            _("Instrument correction"),
            _("What is added to each reading of a compass or protractor; found by checking it."),
        ),
        Term(
            "field-log",
            _("Field log"),
            _("The pages on which results are logged on a phone, with or without signal."),
        ),
        Term(
            "rally-point",
            _("Rally point"),
            _("Where everyone meets when called, or when something goes wrong."),
        ),
        Term(
            "safe-heading",
            _("Safe heading"),
            _("A direction that leads anyone who is lost to a road, a track or another line."),
        ),
        Term(
            "headcount",
            _("Headcount"),
            _("Who is out, who is back and who is overdue. The instructor’s own count rules."),
        ),
        Term(
            "pace-count",
            _("Pace count"),
            _("A distance told from the number of one’s paces, single or double."),
        ),
        Term(
            "resection",
            _("Resection"),
            _("One’s own position found from bearings to two or more known points."),
        ),
    ]
