"""Rules of access, without pages: what each role sees and may change."""

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.urls import reverse

from coursework import policies
from coursework.models import Cohort, Role
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def other_cohort(cohort):
    return builders.cohort(school=cohort.course.school)


def actors(cohort, other_cohort) -> dict:
    return {
        "student": builders.student(cohort),
        "assistant": builders.assistant(cohort),
        "lead": builders.lead(cohort),
        "lead elsewhere": builders.lead(other_cohort),
        "administrator": builders.administrator(school=cohort.course.school),
        "administrator elsewhere": builders.administrator(),
        "nobody": builders.person(school=cohort.course.school),
    }


RIGHTS = {
    "may_arrange_school": {"lead", "lead elsewhere", "administrator", "administrator elsewhere"},
    "instructs_anywhere": {
        "assistant",
        "lead",
        "lead elsewhere",
        "administrator",
        "administrator elsewhere",
    },
}
RIGHTS_IN_COHORT = {
    "may_arrange_cohort": {"lead", "administrator"},
    "may_assess": {"assistant", "lead", "administrator"},
    "may_see_people": {"assistant", "lead", "administrator"},
    "is_student_of": {"student"},
}


@pytest.mark.parametrize("rule", RIGHTS)
def test_rights_within_the_school(cohort, other_cohort, rule):
    people = actors(cohort, other_cohort)
    held = {name for name, person in people.items() if getattr(policies, rule)(person)}
    assert held == RIGHTS[rule]


@pytest.mark.parametrize("rule", RIGHTS_IN_COHORT)
def test_rights_within_a_cohort(cohort, other_cohort, rule):
    people = actors(cohort, other_cohort)
    held = {name for name, who in people.items() if getattr(policies, rule)(who, cohort)}
    assert held == RIGHTS_IN_COHORT[rule]


def test_a_student_sees_only_courses_and_sites_of_the_own_cohorts(cohort, other_cohort):
    drill, other = builders.drill(cohort=cohort), builders.drill(cohort=other_cohort)
    student = builders.student(cohort)
    assert list(policies.visible_courses(student)) == [cohort.course]
    assert list(policies.visible_sites(student)) == [drill.site]
    assert list(policies.visible_drills(student)) == [drill]
    assert other.exercise not in policies.visible_exercises(student)


def test_planned_lessons_and_their_sites_are_those_of_the_own_cohorts(cohort, other_cohort):
    site = builders.site(school=cohort.course.school)
    planned = builders.planned_lesson(cohort=cohort, site=site)
    builders.planned_lesson(cohort=other_cohort)
    for who in (builders.student(cohort), builders.assistant(cohort)):
        assert list(policies.visible_planned_lessons(who)) == [planned]
    assert list(policies.visible_sites(builders.student(cohort))) == [site]
    administrator = builders.administrator(school=cohort.course.school)
    assert policies.visible_planned_lessons(administrator).count() == 2
    assert not policies.visible_planned_lessons(builders.administrator()).exists()


def test_an_assistant_sees_all_courses_and_sites_but_only_the_own_cohorts(cohort, other_cohort):
    drill, other = builders.drill(cohort=cohort), builders.drill(cohort=other_cohort)
    assistant = builders.assistant(cohort)
    assert set(policies.visible_courses(assistant)) == {cohort.course, other_cohort.course}
    assert set(policies.visible_sites(assistant)) == {drill.site, other.site}
    assert list(policies.visible_cohorts(assistant)) == [cohort]
    assert list(policies.visible_drills(assistant)) == [drill]


def test_an_administrator_sees_all_cohorts_of_the_school_and_no_other(cohort, other_cohort):
    builders.cohort()
    administrator = builders.administrator(school=cohort.course.school)
    assert set(policies.visible_cohorts(administrator)) == {cohort, other_cohort}


def test_instruments_are_not_shown_to_students(cohort):
    builders.instrument(school=cohort.course.school)
    assert not policies.visible_instruments(builders.student(cohort)).exists()
    assert policies.visible_instruments(builders.assistant(cohort)).count() == 1


def test_people_to_choose_from_are_the_active_ones_of_the_school(cohort):
    school = cohort.course.school
    lead = builders.lead(cohort)
    colleague = builders.person(school=school)
    builders.person(school=school, is_active=False)
    builders.person()
    assert set(policies.visible_people(lead)) == {lead, colleague}
    assert not policies.visible_people(builders.assistant(cohort)).exists()


def test_duties_name_the_cohorts_by_role_in_one_query(
    cohort, other_cohort, django_assert_num_queries
):
    person = builders.lead(cohort)
    builders.enrolment(cohort=other_cohort, person=person, role=Role.STUDENT)
    with django_assert_num_queries(1):
        duties = policies.duties_of(person)
    assert (duties.leads, duties.assists, duties.studies) == ({cohort.pk}, set(), {other_cohort.pk})
    assert duties.arranges_school and duties.instructs and duties.has_any


def test_someone_without_a_school_has_no_duties():
    duties = policies.duties_of(builders.person(school=None, is_school_admin=True))
    assert not duties.has_any


def test_an_administrator_without_a_school_has_no_rights(cohort):
    lost = builders.person(school=None, is_school_admin=True)
    assert not policies.may_arrange_school(lost)
    assert not policies.may_arrange_cohort(lost, cohort)


def test_every_thing_of_a_school_is_arranged_by_its_leads_only():
    cohort = builders.cohort()
    school = cohort.course.school
    site = builders.site(school=school)
    of_school = [cohort.course, builders.exercise(course=cohort.course), site]
    of_school += [builders.mark(site=site), builders.instrument(school=school)]
    of_cohort = [cohort, builders.drill(cohort=cohort), builders.enrolment(cohort=cohort)]
    of_cohort += [builders.planned_lesson(cohort=cohort), builders.group(cohort=cohort)]
    lead, assistant = builders.lead(cohort), builders.assistant(cohort)
    stranger = builders.lead(builders.cohort())
    for thing in of_school + of_cohort:
        may = [policies.may_arrange(who, thing) for who in (lead, assistant, stranger)]
        assert may == [True, False, False], thing


def test_a_thing_that_no_rule_knows_is_an_error(cohort):
    with pytest.raises(TypeError, match="No rule"):
        policies.may_arrange(builders.lead(cohort), cohort.course.school)


def set_by_lead(cohort, other) -> bool:
    return policies.may_set_password(builders.lead(cohort), other)


def test_a_lead_sets_passwords_of_own_students_and_assistants(cohort):
    assert set_by_lead(cohort, builders.student(cohort))
    assert set_by_lead(cohort, builders.assistant(cohort))


def test_a_lead_sets_no_password_of_someone_with_more_rights_or_of_another_cohort(
    cohort, other_cohort
):
    school = cohort.course.school
    both = builders.student(cohort)
    builders.enrolment(cohort=other_cohort, person=both, role=Role.LEAD)
    administrator = builders.administrator(school=school)
    builders.enrolment(cohort=cohort, person=administrator)
    assert not set_by_lead(cohort, both)
    assert not set_by_lead(cohort, administrator)
    assert not set_by_lead(cohort, builders.lead(cohort))
    assert not set_by_lead(cohort, builders.student(other_cohort))
    assert not set_by_lead(cohort, builders.student(cohort, is_superuser=True))
    assert not set_by_lead(cohort, builders.student(cohort, is_staff=True))
    assert not set_by_lead(cohort, builders.student(cohort, is_active=False))


def test_an_administrator_sets_passwords_of_the_school_but_not_the_own(cohort):
    administrator = builders.administrator(school=cohort.course.school)
    assert policies.may_set_password(administrator, builders.lead(cohort))
    assert not policies.may_set_password(administrator, administrator)
    assert not policies.may_set_password(administrator, builders.person())


def test_an_assistant_sets_no_passwords(cohort):
    assert not policies.may_set_password(builders.assistant(cohort), builders.student(cohort))


def test_what_is_not_among_the_visible_is_not_found(cohort):
    with pytest.raises(Http404):
        policies.get_visible(Cohort.objects.none(), pk=cohort.pk)


def test_what_is_not_allowed_is_denied():
    policies.require(True)
    with pytest.raises(PermissionDenied):
        policies.require(False)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("17", 17),
        ("", -1),
        (None, -1),
        ("-3", -1),
        ("1.0", -1),
        ("٣", -1),
        ("9" * 17, int("9" * 17)),
        ("9" * 18, -1),
        ("9" * 5000, -1),
    ],
)
def test_only_what_can_be_the_number_of_a_row_is_taken_for_one(text, key):
    assert policies.asked_key(text) == key


@pytest.mark.parametrize("name", ["drill-conflicts", "planned-lesson-conflicts"])
@pytest.mark.parametrize("asked", ["9" * 5000, "one"])
def test_what_is_no_number_of_a_row_is_not_found(client, cohort, name, asked):
    client.force_login(builders.lead(cohort))
    found = client.get(reverse(name, args=[cohort.pk]), {"booking": asked})
    assert found.status_code == 404
