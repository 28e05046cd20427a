"""Builders of certifications: one skill, one attempt within the standard, unless said otherwise."""

from datetime import UTC, datetime
from types import SimpleNamespace

from assessments.certification.issuing import issue_packet
from assessments.certification.signing import sign_off
from assessments.models import Certification, CertifiedSkill
from tests import builders
from tests.assessments import results

NOW = datetime(2025, 6, 25, 9, 0, tzinfo=UTC)
CHECK = "https://school.example/check/"
OUTSIDE = {"reading_deg": "300"}


def certification(school, **fields) -> Certification:
    defaults = {
        "title": "Day navigator",
        "scope": "Lines by the sun on open ground.",
        "published_at": builders.SPRING,
    }
    return Certification.objects.create(school=school, **defaults | fields)


def skill(of: Certification, exercise, **fields) -> CertifiedSkill:
    defaults = {"title": exercise.title, "within_needed": 1, "of_last": 3}
    return CertifiedSkill.objects.create(
        certification=of, exercise_key=exercise.key, **defaults | fields
    )


def world(**rule) -> SimpleNamespace:
    """A cohort with lead, assistant and student, a certification of one skill, one attempt."""
    drill = results.drill(standard={})
    cohort = drill.cohort
    school = cohort.course.school
    made = SimpleNamespace(
        school=school,
        cohort=cohort,
        drill=drill,
        lead=builders.lead(cohort, name="Lena Lead"),
        assistant=builders.assistant(cohort, name="Asim Assistant"),
        student=builders.student(cohort, name="Zofia Świerczyńska"),
        fellow=builders.student(cohort),
        administrator=builders.administrator(school=school),
        other_lead=builders.lead(builders.cohort(course=builders.course(school=school))),
        stranger=builders.lead(builders.cohort(), is_school_admin=True),
    )
    made.certification = certification(school)
    made.skill = skill(made.certification, drill.exercise, **rule)
    made.attempt = attempt(made)
    return made


def attempt(world, *, by=None, **fields):
    return results.attempt(
        of=world.drill, by=by or world.assistant, student=world.student, **fields
    )


def signed(world, *, by=None, **fields):
    fields = {"now": NOW} | fields
    return sign_off(by or world.assistant, world.skill, world.student, **fields)


def issued(world, **fields):
    """A packet of the world's student; its skill is signed off where it is not yet."""
    if not world.skill.sign_offs.standing().exists():
        signed(world)
    defaults = {"family_name": "Świerczyńska", "check_address": CHECK, "now": NOW}
    return issue_packet(world.lead, world.certification, world.student, **defaults | fields)
