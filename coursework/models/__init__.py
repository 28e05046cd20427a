"""Schools, people, places, courses and drills."""

from coursework.models.cohorts import Cohort, Drill, Enrolment, Role
from coursework.models.curriculum import Course, Exercise, JudgedOn, Method, Rule
from coursework.models.instruments import Instrument
from coursework.models.people import Person, School
from coursework.models.places import ReferenceMark, Site

__all__ = [
    "Cohort",
    "Course",
    "Drill",
    "Enrolment",
    "Exercise",
    "Instrument",
    "JudgedOn",
    "Method",
    "Person",
    "ReferenceMark",
    "Role",
    "Rule",
    "School",
    "Site",
]
