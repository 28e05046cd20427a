"""Schools, people, places, courses and drills."""

from coursework.models.approvals import Approval
from coursework.models.cohorts import Cohort, Drill, Enrolment, PlannedCheck, Role
from coursework.models.contacts import Contact
from coursework.models.courses import Course
from coursework.models.curriculum import Exercise
from coursework.models.exceptions import LessonException, PlanException
from coursework.models.feeds import CalendarFeed
from coursework.models.groups import Group
from coursework.models.hands import HandMeasurement
from coursework.models.incidents import FollowUp, Harm, Incident, IncidentNote
from coursework.models.instruments import Instrument, InstrumentCheck
from coursework.models.invitations import Invitation
from coursework.models.lessons import Attendance, Lesson
from coursework.models.methods import JudgedOn, Method, Rule, Unit
from coursework.models.paces import PaceMeasurement
from coursework.models.people import Person, School
from coursework.models.places import CompassHeading, ReferenceMark, Site
from coursework.models.planned_lessons import PlannedLesson
from coursework.models.safety import Aspect, Decision, Outcome
from coursework.models.settings import HeatLimits, HeatMeasure, HeatUnit, SchoolSettings

__all__ = [
    "Approval",
    "Aspect",
    "Attendance",
    "CalendarFeed",
    "Cohort",
    "CompassHeading",
    "Contact",
    "Course",
    "Decision",
    "Drill",
    "Enrolment",
    "Exercise",
    "FollowUp",
    "Group",
    "HandMeasurement",
    "Harm",
    "HeatLimits",
    "HeatMeasure",
    "HeatUnit",
    "Incident",
    "IncidentNote",
    "Instrument",
    "InstrumentCheck",
    "Invitation",
    "JudgedOn",
    "Lesson",
    "LessonException",
    "Method",
    "Outcome",
    "PaceMeasurement",
    "Person",
    "PlanException",
    "PlannedCheck",
    "PlannedLesson",
    "ReferenceMark",
    "Role",
    "Rule",
    "School",
    "SchoolSettings",
    "Site",
    "Unit",
]
