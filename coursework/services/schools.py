"""A school's beginning, and first passwords."""

from django.db import transaction

from coursework import policies
from coursework.models import Person, School


@transaction.atomic
def found_school(*, name: str, admin_name: str, username: str, password: str) -> Person:
    """A new school with its first administrator, who is returned.

    There is no acting user: no one belongs to a school that does not exist.
    """
    school = School(name=name)
    school.full_clean()
    school.save()
    person = Person(name=admin_name, username=username, school=school, is_school_admin=True)
    person.set_password(password)
    person.full_clean()
    person.save()
    return person


@transaction.atomic
def set_password(by: Person, person: Person, password: str) -> None:
    """Give someone a new first password. It ends their sessions."""
    policies.require(policies.may_set_password(by, person))
    person.set_password(password)
    person.save(update_fields=["password"])
