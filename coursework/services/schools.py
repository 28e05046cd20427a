"""A school's beginning, and first passwords."""

from axes.utils import reset as forget_failures
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Person, School


def found_first_school(*, name: str, admin_name: str, username: str, password: str) -> Person:
    """The first school of an empty installation; ValidationError where there is one already."""
    try:
        with transaction.atomic():
            person = found_school(
                name=name,
                admin_name=admin_name,
                username=username,
                password=password,
                is_first=True,
            )
            # Looked at after the row is in, which only one of several at once can have.
            if School.objects.exclude(pk=person.school_id).exists():
                raise _already_there()
    except IntegrityError as error:
        raise _already_there() from error
    return person


def _already_there() -> ValidationError:
    return ValidationError(_("This installation has a school already. Sign in instead."))


@transaction.atomic
def found_school(
    *,
    name: str,
    admin_name: str,
    username: str,
    password: str,
    is_first: bool | None = None,
) -> Person:
    """A new school with its first administrator, who is returned.

    There is no acting user: no one belongs to a school that does not exist.
    """
    school = School(name=name, is_first=is_first)
    # Left to the database, where it holds against someone else at the same moment too.
    school.full_clean(exclude=["is_first"])
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
    # Whoever guessed wrong too often may try the new one at once.
    forget_failures(username=person.username)
    person.save(update_fields=["password"])
