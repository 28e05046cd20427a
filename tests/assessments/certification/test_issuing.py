"""Issuing packets: who, on what, for how long; withdrawing and renewing."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessments.certification.issuing import months_later, reasons_against, withdraw_packet
from assessments.certification.standing import standing_of
from assessments.models import Packet, Renewal
from tests import builders
from tests.assessments.certification import made

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("day", "months", "last"),
    [
        (date(2026, 6, 10), 12, date(2027, 6, 9)),
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2026, 3, 1), 12, date(2027, 2, 28)),
        (date(2027, 3, 1), 12, date(2028, 2, 29)),  # a leap year
        (date(2026, 1, 1), 1, date(2026, 1, 31)),
        (date(2026, 12, 15), 36, date(2029, 12, 14)),
    ],
)
def test_the_last_day_is_the_one_before_the_date_comes_round(day, months, last):
    assert months_later(day, months) == last


def test_a_packet_keeps_names_dates_and_the_sign_offs_it_rests_on():
    world = made.world()
    packet = made.issued(world)
    assert (packet.holder, packet.issuer) == ("Zofia Świerczyńska", "Lena Lead")
    assert packet.expires_on == date(2028, 6, 24)
    assert list(packet.sign_offs.all()) == list(world.skill.sign_offs.all())
    assert packet.check_address == f"{made.CHECK}{packet.number}"


def test_a_skill_that_is_not_signed_off_stands_against_it():
    world = made.world()
    made.skill(world.certification, builders.exercise(course=world.cohort.course, title="Watch"))
    with pytest.raises(ValidationError, match="Not signed off: “Watch”"):
        made.issued(world)


def test_a_lead_who_is_the_only_assessor_does_not_issue():
    world = made.world()
    made.signed(world, by=world.lead)
    with pytest.raises(ValidationError, match="yourself"):
        made.issued(world)
    assert not Packet.objects.exists()


def test_beside_another_assessor_a_lead_may_have_signed_as_well():
    world = made.world()
    other = builders.exercise(course=world.cohort.course, title="Watch")
    second = made.skill(world.certification, other)
    drill = builders.drill(
        cohort=world.cohort,
        exercise=other,
        site=world.drill.site,
        starts_at=world.drill.starts_at,
    )
    first_drill, first_skill = world.drill, world.skill
    made.signed(world, by=world.lead)
    world.drill, world.skill = drill, second
    made.attempt(world)
    made.signed(world)
    world.drill, world.skill = first_drill, first_skill
    assert made.issued(world).sign_offs.count() == 2


@pytest.mark.parametrize("role", ["assistant", "student", "fellow", "other_lead", "stranger"])
def test_only_leads_of_the_student_issue(role):
    world = made.world()
    made.signed(world)
    world.lead = getattr(world, role)
    with pytest.raises(PermissionDenied):
        made.issued(world)


@pytest.mark.parametrize("name", ["", "Kowalska"])
def test_the_family_name_has_to_be_part_of_the_name(name):
    world = made.world()
    with pytest.raises(ValidationError, match="family name"):
        made.issued(world, family_name=name)


@pytest.mark.parametrize(("days", "state"), [(0, Packet.State.VALID), (1, Packet.State.EXPIRED)])
def test_on_its_last_day_a_certificate_is_valid_and_on_the_next_expired(days, state):
    packet = made.issued(made.world())
    assert packet.state(packet.expires_on + timedelta(days=days)) == state


def test_withdrawn_is_withdrawn_whatever_the_day():
    world = made.world()
    packet = withdraw_packet(world.lead, made.issued(world), "Issued by mistake.")
    assert packet.state(packet.issued_on) == Packet.State.WITHDRAWN
    with pytest.raises(PermissionDenied):
        withdraw_packet(world.lead, packet, "Again.")


def test_for_a_renewal_only_attempts_after_the_last_issue_count():
    world = made.world()
    made.issued(world)
    standing = standing_of(world.certification, world.student)
    assert standing.since == made.NOW
    assert not standing.skills[0].decision.shown
    assert standing.skills[0].sign_off is None


def test_a_renewal_by_the_rule_alone_takes_earlier_attempts():
    world = made.world()
    world.certification.renewal = Renewal.RULE
    world.certification.save()
    made.issued(world)
    standing = standing_of(world.certification, world.student)
    assert standing.since is None
    assert standing.skills[0].decision.shown


def test_numbers_do_not_follow_each_other():
    world = made.world()
    world.certification.renewal = Renewal.RULE
    world.certification.save()
    numbers = {made.issued(world).number for _packet in range(5)}
    assert len(numbers) == 5
    assert all(len(number) == 10 for number in numbers)


@pytest.mark.parametrize(("age", "refused"), [(0, False), (1, True)])
def test_a_renewal_by_the_rule_asks_that_it_is_met_on_the_day(age, refused):
    world = made.world(not_older_days=30)
    world.certification.renewal = Renewal.RULE
    world.certification.save()
    made.issued(world)
    day = world.attempt.current.local_observed_at + timedelta(days=30 + age)
    standing = standing_of(world.certification, world.student, now=day)
    said = " ".join(reasons_against(world.lead, standing))
    assert ("the rule is not met today" in said) is refused


def test_a_certification_that_is_not_renewed_asks_for_everything_again():
    world = made.world()
    world.certification.renewal = Renewal.NONE
    world.certification.save()
    made.issued(world)
    with pytest.raises(ValidationError, match="Not signed off"):
        made.issue_packet(
            world.lead,
            world.certification,
            world.student,
            family_name="Świerczyńska",
            check_address=made.CHECK,
        )
