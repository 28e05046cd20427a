"""Hands, shared contacts, and accounts changed, closed and reopened."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from coursework import policies, services
from coursework.models import Contact, Role
from tests import builders

pytestmark = pytest.mark.django_db


@pytest.fixture
def cohort():
    return builders.cohort()


@pytest.fixture
def student(cohort):
    return builders.student(cohort)


def test_breadth_and_reach_give_the_degrees_with_who_and_when(cohort, student):
    assistant = builders.assistant(cohort)
    measured = services.measure_hand(assistant, student, breadth_cm=10.0, reach_cm=60.0)
    # 2 atan(10 / 120) = 9.53 degrees, worked by hand.
    assert student.degrees_per_hand == pytest.approx(9.53, abs=0.005)
    assert measured.measured_by == assistant
    assert (timezone.now() - measured.measured_at).total_seconds() < 60


def test_a_later_measurement_is_used_and_the_earlier_one_kept(student):
    services.measure_hand(student, student, degrees=9.0)
    services.measure_hand(student, student, degrees=9.4)
    student.refresh_from_db()
    assert student.degrees_per_hand == 9.4
    assert [row.degrees for row in student.hand_measurements.all()] == [9.4, 9.0]


def test_the_same_numbers_again_are_no_new_measurement(student):
    services.measure_hand(student, student, breadth_cm=8.0, reach_cm=55.0)
    services.measure_hand(student, student, breadth_cm=8.0, reach_cm=55.0)
    assert student.hand_measurements.count() == 1


def test_taking_a_measurement_back_is_recorded_too(student):
    services.measure_hand(student, student, degrees=9.0)
    services.measure_hand(student, student)
    assert student.degrees_per_hand is None
    assert student.hand_measurements.count() == 2


def test_nothing_where_nothing_was_is_no_measurement(student):
    assert services.measure_hand(student, student) is None


@pytest.mark.parametrize("role", ["student"])
def test_a_fellow_student_measures_no_hand(cohort, student, role):
    with pytest.raises(PermissionDenied):
        services.measure_hand(getattr(builders, role)(cohort), student, degrees=9.0)


def test_an_instructor_of_another_cohort_measures_no_hand(cohort, student):
    other = builders.assistant(builders.cohort(school=cohort.course.school))
    with pytest.raises(PermissionDenied):
        services.measure_hand(other, student, degrees=9.0)


def share(person, **more):
    shared = {"emergency": ("Mo", "+41 79 000 00 00"), "medical": "Bee stings"}
    return services.share_contact(person, **shared | more)


def test_what_is_shared_says_since_when(student):
    contact = share(student)
    assert contact.shared_emergency == ("Mo", "+41 79 000 00 00")
    assert contact.emergency_agreed_at is not None
    assert contact.shared_medical == "Bee stings"


def test_the_same_again_keeps_the_moment_and_a_change_renews_it(student):
    first = share(student)
    again = share(student, medical="Bee stings and nuts")
    assert again.emergency_agreed_at == first.emergency_agreed_at
    assert again.medical_agreed_at > first.medical_agreed_at


def test_withdrawing_deletes_the_text(student):
    share(student)
    share(student, emergency=None, medical="")
    contact = Contact.objects.get()
    assert (contact.emergency_name, contact.emergency_phone, contact.medical_note) == ("", "", "")
    assert contact.shared_emergency is None


def test_one_part_is_withdrawn_without_the_other(student):
    share(student)
    contact = share(student, emergency=None)
    assert contact.shared_emergency is None
    assert contact.shared_medical == "Bee stings"


READERS = {
    "lead": True,
    "assistant": True,
    "administrator": False,
    "student": False,
    "lead elsewhere": False,
    "stranger": False,
}


@pytest.mark.parametrize("reader", READERS)
def test_only_those_who_go_out_with_them_see_what_students_share(cohort, student, reader):
    school = cohort.course.school
    share(student)
    person = {
        "lead": lambda: builders.lead(cohort),
        "assistant": lambda: builders.assistant(cohort),
        "administrator": lambda: builders.administrator(school=school),
        "student": lambda: builders.student(cohort),
        "lead elsewhere": lambda: builders.lead(builders.cohort(school=school)),
        "stranger": lambda: builders.lead(builders.cohort()),
    }[reader]()
    assert policies.shared_contacts(person, cohort).exists() is READERS[reader]


def test_what_was_withdrawn_is_not_among_what_is_shared(cohort, student):
    share(student)
    share(student, emergency=None, medical="")
    assert not policies.shared_contacts(builders.lead(cohort), cohort).exists()


@pytest.fixture
def administrator(cohort):
    return builders.administrator(school=cohort.course.school)


def test_a_closed_account_signs_no_one_in_and_an_opened_one_does(administrator, student, client):
    client.force_login(student)
    services.close_account(administrator, student)
    assert client.get("/").status_code == 302
    services.reopen_account(administrator, student)
    client.force_login(student)
    assert client.get("/").status_code == 200


def test_nobody_closes_their_own_account(administrator):
    with pytest.raises(PermissionDenied):
        services.close_account(administrator, administrator)


@pytest.mark.parametrize("role", ["student", "assistant", "lead"])
def test_only_administrators_close_accounts(cohort, student, role):
    with pytest.raises(PermissionDenied):
        services.close_account(getattr(builders, role)(cohort), student)


def test_accounts_of_the_maintenance_door_are_left_to_it(administrator, cohort):
    keeper = builders.person(school=cohort.course.school, is_staff=True)
    with pytest.raises(PermissionDenied):
        services.close_account(administrator, keeper)


def test_an_administrator_names_another_and_only_then_steps_down(administrator, student):
    administrator.is_school_admin = False
    with pytest.raises(ValidationError, match="only administrator"):
        services.edit_person(_fresh(administrator), administrator)
    student.is_school_admin = True
    services.edit_person(_fresh(administrator), student)
    services.edit_person(_fresh(administrator), administrator)
    assert not _fresh(administrator).is_school_admin


def _fresh(person):
    return type(person).objects.get(pk=person.pk)


def test_a_lead_changes_no_account(cohort, student):
    student.name = "Other"
    with pytest.raises(PermissionDenied):
        services.edit_person(builders.lead(cohort), student)


def test_roles_stay_when_an_account_is_closed(administrator, student):
    services.close_account(administrator, student)
    assert student.enrolments.get().role == Role.STUDENT


def test_paces_over_a_measured_distance_give_those_for_100_m(cohort, student):
    assistant = builders.assistant(cohort)
    measured = services.measure_paces(assistant, student, paces=129, distance_m=200.0)
    student.refresh_from_db()
    assert (student.paces_per_100_m, measured.measured_by) == (64.5, assistant)


def test_the_same_count_again_is_none_and_a_count_can_be_taken_back(student):
    services.measure_paces(student, student, paces=130, distance_m=200.0)
    services.measure_paces(student, student, paces=130, distance_m=200.0)
    assert student.pace_measurements.count() == 1
    services.measure_paces(student, student)
    student.refresh_from_db()
    assert student.paces_per_100_m is None
    assert student.pace_measurements.count() == 2


def test_a_fellow_student_counts_nobodys_paces(cohort, student):
    with pytest.raises(PermissionDenied):
        services.measure_paces(builders.student(cohort), student, paces=65, distance_m=100.0)
