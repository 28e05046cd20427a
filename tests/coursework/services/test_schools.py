"""A school's first day, and first passwords."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from coursework import services
from coursework.models import School
from tests import builders

pytestmark = pytest.mark.django_db
FIRST = {"name": "Ridge School", "admin_name": "Ada", "username": "ada", "password": "dry-boots-77"}


def test_a_school_begins_with_an_administrator_who_can_sign_in():
    person = services.found_school(**FIRST)
    assert person.school.name == "Ridge School"
    assert person.is_school_admin
    assert person.check_password("dry-boots-77")


def test_where_the_administrator_cannot_be_made_there_is_no_school_either():
    builders.person(username="ada")
    with pytest.raises(ValidationError):
        services.found_school(**FIRST)
    assert not School.objects.filter(name="Ridge School").exists()


def test_a_lead_gives_a_student_a_new_password():
    cohort = builders.cohort()
    student = builders.student(cohort, password="old-and-lost")
    services.set_password(builders.lead(cohort), student, "dry-boots-77")
    student.refresh_from_db()
    assert student.check_password("dry-boots-77")


def test_a_student_gives_no_one_a_password():
    cohort = builders.cohort()
    student = builders.student(cohort, password="old-and-kept")
    with pytest.raises(PermissionDenied):
        services.set_password(builders.student(cohort), student, "dry-boots-77")
    student.refresh_from_db()
    assert student.check_password("old-and-kept")


def test_the_first_school_of_an_installation_is_founded_once():
    services.found_first_school(**FIRST)
    with pytest.raises(ValidationError, match="has a school already"):
        services.found_first_school(**FIRST | {"name": "Other", "username": "other"})
    assert School.objects.count() == 1


def test_an_installation_with_any_school_founds_no_first_one():
    builders.school()
    with pytest.raises(ValidationError, match="has a school already"):
        services.found_first_school(**FIRST)
    assert not School.objects.filter(name="Ridge School").exists()


def test_of_two_who_found_the_first_school_at_once_the_database_lets_one():
    School.objects.create(name="One", is_first=True)
    with pytest.raises(IntegrityError), transaction.atomic():
        School.objects.create(name="Two", is_first=True)
    School.objects.create(name="Three"), School.objects.create(name="Four")
