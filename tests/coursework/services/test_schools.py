"""A school's first day, and first passwords."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

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
