"""What a person does at a school, looked up once while they only read."""

import pytest
from django.urls import reverse

from coursework import policies
from coursework.duties import duties_of, keep_duties
from coursework.models import Enrolment, Role
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(cohort):
    return builders.lead(cohort)


@pytest.fixture
def cohort():
    return builders.cohort()


def test_a_role_is_held_in_its_cohort(lead, cohort):
    duties = duties_of(lead)
    assert duties.holds(Role.LEAD, cohort=cohort)
    assert duties.holds(Role.ASSISTANT, Role.LEAD)
    assert not duties.holds(Role.ASSISTANT, cohort=cohort)
    assert not duties.holds(Role.LEAD, cohort=builders.cohort(school=cohort.course.school))


def test_duties_are_looked_up_again_each_time(lead):
    assert duties_of(lead).leads
    Enrolment.objects.all().delete()
    assert not duties_of(lead).leads


def test_a_reader_has_them_looked_up_once(lead, django_assert_num_queries):
    keep_duties(lead)
    with django_assert_num_queries(1):
        assert duties_of(lead) == duties_of(lead)


@pytest.mark.parametrize(("method", "kept"), [("get", True), ("head", True), ("post", False)])
def test_only_requests_that_read_keep_them(client, lead, method, kept):
    client.force_login(lead)
    response = getattr(client, method)(reverse("site-add"))
    assert getattr(response.wsgi_request.user, "keeps_duties", False) is kept


@pytest.mark.parametrize("role", ["lead", "assistant", "student", "none", "administrator"])
def test_kept_duties_show_the_same_cohorts_and_drills(role, cohort):
    school = cohort.course.school
    drill = builders.drill(cohort=cohort)
    builders.drill(cohort=builders.cohort(course=builders.course(school=school)))
    made = {
        "none": lambda: builders.person(school=school),
        "administrator": lambda: builders.administrator(school=school),
    }
    person = made.get(role, lambda: getattr(builders, role)(cohort))()
    found = _seen_by(person)
    keep_duties(person)
    assert _seen_by(person) == found
    assert (drill in found[1]) is (role != "none")


def _seen_by(person) -> tuple[set, set]:
    return set(policies.visible_cohorts(person)), set(policies.visible_drills(person))
