"""Versions of certifications."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessments.certification import drafts
from assessments.models import Certification, CertifiedSkill
from tests import builders
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


def draft():
    school = builders.school()
    lead = builders.administrator(school=school)
    certification = Certification(school=school, title="Night", scope="By the stars.")
    return lead, drafts.save_certification(lead, certification)


def test_a_draft_without_skills_is_not_published():
    lead, certification = draft()
    with pytest.raises(ValidationError, match="no skills"):
        drafts.publish_certification(lead, certification)


def test_a_published_version_is_frozen_and_changed_by_the_next():
    lead, certification = draft()
    exercise = builders.exercise(course=builders.course(school=certification.school))
    lesson = builders.lesson(course=exercise.course)
    skill = CertifiedSkill(certification=certification)
    drafts.save_skill(lead, skill, exercise, [lesson])
    drafts.publish_certification(lead, certification)
    with pytest.raises(ValidationError, match="published"):
        drafts.save_skill(lead, skill, exercise, [])
    following = drafts.next_certification(lead, certification)
    assert (following.number, following.is_draft) == (2, True)
    assert following.skills.get().lessons == [[str(lesson.key), lesson.title]]
    assert drafts.next_certification(lead, certification) == following


def test_decisions_keep_the_version_they_were_made_with():
    world = made.world()
    signed = made.signed(world)
    following = drafts.next_certification(world.lead, world.certification)
    drafts.publish_certification(world.lead, following)
    signed.refresh_from_db()
    assert signed.skill.certification.number == 1


def test_the_attempts_asked_for_fit_among_those_looked_at():
    lead, certification = draft()
    exercise = builders.exercise(course=builders.course(school=certification.school))
    skill = CertifiedSkill(certification=certification, within_needed=3, of_last=2)
    with pytest.raises(ValidationError, match="more attempts"):
        drafts.save_skill(lead, skill, exercise, [])
    skill.of_last = 3
    assert drafts.save_skill(lead, skill, exercise, []).pk


@pytest.mark.parametrize("field", ["distinct_days", "distinct_assessors"])
def test_days_and_assessors_fit_among_the_attempts_asked_for(field):
    lead, certification = draft()
    exercise = builders.exercise(course=builders.course(school=certification.school))
    skill = CertifiedSkill(certification=certification, within_needed=2, **{field: 3})
    with pytest.raises(ValidationError, match="So many"):
        drafts.save_skill(lead, skill, exercise, [])


def test_an_exercise_of_another_school_is_refused():
    lead, certification = draft()
    with pytest.raises(PermissionDenied):
        drafts.save_skill(
            lead, CertifiedSkill(certification=certification), builders.exercise(), []
        )
