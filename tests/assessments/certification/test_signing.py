"""Sign-offs: who, on what, withdrawn, and opened again by a correction."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessments import policies as attempt_policies
from assessments.certification.signing import order_repeat, sign_off, withdraw_sign_off
from assessments.certification.standing import standing_of
from assessments.models import Revision, SignOff
from assessments.services import correct_attempt
from coursework.models import Role
from tests import builders
from tests.assessments import results
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


def corrected(world, by, reading="351"):
    return correct_attempt(
        by=by,
        attempt=world.attempt,
        observation=results.observation(columns={"reading_deg": reading}),
        reason="Typed wrongly.",
    )


def test_a_sign_off_keeps_person_time_evidence_and_version_of_the_rule():
    world = made.world()
    signed = made.signed(world)
    (row,) = signed.evidence.all()
    assert (signed.signed_by, signed.signed_at) == (world.assistant, made.NOW)
    assert (row.revision.attempt, row.revision.number, row.counted) == (world.attempt, 1, True)
    assert signed.skill.certification == world.certification
    assert signed.clauses[0][1] is True


def test_every_assessed_attempt_is_evidence_whatever_came_of_it():
    world = made.world()
    made.attempt(world, columns=made.OUTSIDE)
    assert sorted(row.counted for row in made.signed(world).evidence.all()) == [False, True]


def test_a_rule_that_says_no_is_told_by_its_sentences():
    world = made.world(within_needed=2)
    with pytest.raises(ValidationError, match="2 attempts within the standard"):
        made.signed(world)
    assert not SignOff.objects.exists()


def test_a_skill_is_signed_off_once():
    world = made.world()
    made.signed(world)
    with pytest.raises(ValidationError, match="already"):
        made.signed(world, by=world.lead)


def test_nobody_signs_for_themselves():
    world = made.world()
    builders.enrolment(cohort=world.cohort, person=world.student, role=Role.ASSISTANT)
    with pytest.raises(PermissionDenied):
        made.signed(world, by=world.student)


@pytest.mark.parametrize(
    ("role", "may"),
    [
        ("student", False),
        ("fellow", False),
        ("assistant", True),
        ("lead", True),
        ("administrator", True),
        ("other_lead", False),
        ("stranger", False),
    ],
)
def test_who_signs_off(role, may):
    world = made.world()
    if may:
        assert made.signed(world, by=getattr(world, role)).stands
    else:
        with pytest.raises(PermissionDenied):
            made.signed(world, by=getattr(world, role))


def test_a_draft_signs_nothing_off():
    world = made.world()
    world.certification.published_at = None
    world.certification.save()
    world.skill.certification.refresh_from_db()
    with pytest.raises(PermissionDenied):
        made.signed(world)


def test_flagged_attempts_take_a_lead_and_a_reason():
    world = made.world()
    Revision.objects.update(own_error_deg=40.0)
    with pytest.raises(ValidationError, match="course lead"):
        made.signed(world, flags_accepted="Seen.")
    with pytest.raises(ValidationError, match="Say why"):
        made.signed(world, by=world.lead)
    signed = made.signed(world, by=world.lead, flags_accepted="Three more lines were sound.")
    assert signed.flags_accepted == "Three more lines were sound."
    assert signed.evidence.get().cancelled


def test_a_sign_off_is_withdrawn_with_a_reason_and_stays_on_record():
    world = made.world()
    signed = made.signed(world)
    with pytest.raises(ValidationError):
        withdraw_sign_off(world.assistant, signed, "  ")
    withdraw_sign_off(world.assistant, signed, "Wrong student.")
    signed.refresh_from_db()
    assert not signed.stands
    assert signed.withdrawn_reason == "Wrong student."
    assert made.signed(world).stands


def test_only_the_signer_and_leads_withdraw():
    world = made.world()
    signed = made.signed(world)
    for other in (builders.assistant(world.cohort), world.student, world.other_lead):
        with pytest.raises(PermissionDenied):
            withdraw_sign_off(other, signed, "No.")
    assert withdraw_sign_off(world.lead, signed, "Looked at again.").withdrawn_by == world.lead


def test_before_a_sign_off_an_assistant_corrects_and_after_it_only_a_lead():
    world = made.world()
    assert attempt_policies.may_correct(world.assistant, world.attempt)
    made.signed(world)
    assert not attempt_policies.may_correct(world.assistant, world.attempt)
    with pytest.raises(PermissionDenied):
        corrected(world, world.assistant)
    assert attempt_policies.may_correct(world.lead, world.attempt)


def test_a_correction_opens_the_sign_off_again_and_shows_it():
    world = made.world()
    signed = made.signed(world)
    revision = corrected(world, world.lead)
    (held,) = standing_of(world.certification, world.student).skills
    assert held.sign_off is None
    assert held.reopened == signed
    assert held.reopened.reopened_by == revision
    assert signed.evidence.get().revision.number == 1  # the evidence stays as it was


def test_signed_again_after_a_correction_it_rests_on_the_new_revision():
    world = made.world()
    made.signed(world)
    corrected(world, world.lead)
    again = made.signed(world, now=made.NOW + timedelta(days=1))
    assert again.evidence.get().revision.number == 2


def test_attempts_since_the_sign_off_are_told():
    world = made.world()
    made.signed(world)
    made.attempt(world, columns=made.OUTSIDE)
    (held,) = standing_of(world.certification, world.student).skills
    assert len(held.newer) == 1


def test_one_repeat_is_ordered_of_what_was_too_close_to_call():
    world = made.world()
    with pytest.raises(ValidationError, match="too close"):
        order_repeat(world.lead, world.attempt)
    Revision.objects.update(verdict="too close to call")
    world.attempt.refresh_from_db()
    with pytest.raises(PermissionDenied):
        order_repeat(world.assistant, world.attempt)
    assert order_repeat(world.lead, world.attempt, "Gusts.").reason == "Gusts."
    with pytest.raises(ValidationError, match="before"):
        order_repeat(world.lead, world.attempt)


def test_standing_takes_as_many_queries_for_many_skills_as_for_one(django_assert_num_queries):
    world = made.world()
    for _skill in range(3):
        exercise = builders.exercise(course=world.cohort.course)
        made.skill(world.certification, exercise)
    with django_assert_num_queries(7):
        standing_of(world.certification, world.student)


def test_a_foreign_skill_is_not_signed_off():
    world, other = made.world(), made.world()
    with pytest.raises(PermissionDenied):
        sign_off(other.assistant, world.skill, world.student)
