"""Who gets what at every address of certifications: one table, role by role."""

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from assessments.certification.run_work import work
from assessments.certification.runs import start_run
from assessments.models import Revision
from tests.assessments.certification import made
from tests.assessments.test_access import CERTIFICATION, ROLES

pytestmark = pytest.mark.django_db

EVERYONE = [200] * 7
SCHOOL = [200, 200, 200, 200, 200, 200, 404]
INSTRUCTORS = [403, 403, 200, 200, 200, 200, 200]
ARRANGE = [403, 403, 403, 200, 200, 200, 404]
ADD = [403, 403, 403, 200, 200, 200, 200]
DRAFT = [404, 404, 403, 200, 200, 200, 404]
OWN_OR_ASSESSING = [200, 404, 200, 200, 200, 404, 404]
SIGN = [403, 404, 200, 200, 200, 404, 404]
LEAD = [403, 404, 403, 200, 200, 404, 404]
RUN = (
    "packet-run",
    "packet-run-cancel",
    "packet-run-resume",
    "packet-run-remove",
    "packet-run-zip",
    "packet-run-print",
)
TABLE = {
    "certification-list": EVERYONE,
    "certification-add": ADD,
    "certification-detail": SCHOOL,
    "certification-edit": DRAFT,
    "certification-publish": DRAFT,
    "certification-change": ARRANGE,
    "certification-discard": DRAFT,
    "skill-add": DRAFT,
    "skill-edit": DRAFT,
    "skill-remove": DRAFT,
    "standing": OWN_OR_ASSESSING,
    "packet-issue": LEAD,
    "skill-sign": SIGN,
    "sign-off-withdraw": SIGN,
    "repeat-order": LEAD,
    "packet-detail": OWN_OR_ASSESSING,
    "packet-pdf": OWN_OR_ASSESSING,
    "packet-credential": OWN_OR_ASSESSING,
    "packet-withdraw": LEAD,
    "expiry-list": INSTRUCTORS,
    "expiry-calendar": INSTRUCTORS,
    # The cohort can be read by its people; its packets are made by its leads.
    "packet-run-start": [403, 403, 403, 200, 200, 404, 404],
    **{name: [404, 404, 404, 200, 200, 404, 404] for name in RUN},
    "certificate-check": EVERYONE,
    "certificate-check-number": EVERYONE,
    "status-list": EVERYONE,
}
OPEN = {"certificate-check", "certificate-check-number", "status-list"}


def one_of_everything():
    """A certification with one of everything, and people in every role."""
    cache.clear()
    world = made.world()
    world.packet = made.issued(world)
    world.sign_off = world.skill.sign_offs.get()
    world.draft = made.certification(world.school, title="Next", published_at=None)
    world.draft_skill = made.skill(world.draft, world.drill.exercise)
    world.run = start_run(
        world.lead, world.certification, world.cohort, family_names={}, check_address=made.CHECK
    )
    work(world.run.pk, worker="one")
    # Of an attempt that is too close to call the lead may order one repeat.
    Revision.objects.update(verdict="too close to call")
    return world


@pytest.fixture
def world():
    return one_of_everything()


def address(name: str, world) -> str:
    student = [world.certification.pk, world.student.pk]
    arguments = {
        "certification-list": [],
        "certification-add": [],
        "certification-detail": [world.certification.pk],
        "certification-change": [world.certification.pk],
        "skill-edit": [world.draft_skill.pk],
        "skill-remove": [world.draft_skill.pk],
        "standing": student,
        "packet-issue": student,
        "skill-sign": [world.skill.pk, world.student.pk],
        "sign-off-withdraw": [world.sign_off.pk],
        "repeat-order": [world.attempt.key],
        "packet-detail": [world.packet.pk],
        "packet-pdf": [world.packet.pk],
        "packet-credential": [world.packet.pk],
        "packet-withdraw": [world.packet.pk],
        "packet-run-start": [world.certification.pk, world.cohort.pk],
        **{name: [world.run.pk] for name in RUN},
        "expiry-list": [],
        "expiry-calendar": [],
        "certificate-check": [],
        "certificate-check-number": [world.packet.number],
        "status-list": [world.school.pk],
    }
    return reverse(name, args=arguments.get(name, [world.draft.pk]))


def signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def test_the_table_holds_every_address_of_certifications():
    assert set(TABLE) == CERTIFICATION


@pytest.mark.parametrize("name", TABLE)
def test_each_role_gets_what_the_table_says(world, name):
    got = [signed_in(getattr(world, role)).get(address(name, world)).status_code for role in ROLES]
    assert got == TABLE[name]


@pytest.mark.parametrize("name", [name for name in TABLE if 403 in TABLE[name]])
def test_sending_is_refused_to_the_same_people_as_reading(world, name):
    refused = [role for role, code in zip(ROLES, TABLE[name], strict=True) if code != 200]
    got = {
        role: signed_in(getattr(world, role)).post(address(name, world)).status_code
        for role in refused
    }
    codes = dict(zip(ROLES, TABLE[name], strict=True))
    assert got == {role: codes[role] for role in refused}


@pytest.mark.parametrize("name", [name for name in TABLE if name not in OPEN])
def test_whoever_has_not_signed_in_is_sent_to_sign_in(world, name):
    response = Client().get(address(name, world))
    assert response.status_code == 302
    assert response["Location"].startswith(reverse("sign-in"))


@pytest.mark.parametrize("name", sorted(OPEN))
def test_anyone_checks_a_certificate(world, name):
    assert Client().get(address(name, world)).status_code == 200
