"""One person's account, hand, paces and emergency contact."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import Contact, HandMeasurement, PaceMeasurement, Person
from solar.methods.hands import hand_deg


@transaction.atomic
def measure_hand(
    by: Person,
    person: Person,
    *,
    breadth_cm: float | None = None,
    reach_cm: float | None = None,
    degrees: float | None = None,
    now: datetime | None = None,
) -> HandMeasurement | None:
    """Record what a hand covers, from breadth and reach or as degrees, and take it into use.

    With neither, the measurement before it is taken back. The same numbers again are no new
    measurement: the last one is returned, None where there never was any.
    """
    if breadth_cm is not None and reach_cm is not None:
        degrees = hand_deg(breadth_m=breadth_cm / 100.0, reach_m=reach_cm / 100.0)
    else:
        breadth_cm = reach_cm = None
    numbers = {"breadth_cm": breadth_cm, "reach_cm": reach_cm, "degrees": degrees}
    return _calibrate(
        by, person, HandMeasurement, numbers, kept_as=("degrees", "degrees_per_hand"), now=now
    )


@transaction.atomic
def measure_paces(
    by: Person,
    person: Person,
    *,
    paces: int | None = None,
    distance_m: float | None = None,
    now: datetime | None = None,
) -> PaceMeasurement | None:
    """Record a count of paces over a measured distance, and take it into use.

    With neither, and with the same numbers again: as `measure_hand`.
    """
    per_100_m = None if paces is None or distance_m is None else 100.0 * paces / distance_m
    numbers = {"paces": paces, "distance_m": distance_m, "paces_per_100_m": per_100_m}
    if per_100_m is None:
        numbers = dict.fromkeys(numbers)
    same = "paces_per_100_m"
    return _calibrate(by, person, PaceMeasurement, numbers, kept_as=(same, same), now=now)


def _calibrate(by, person, model, numbers: dict, *, kept_as: tuple[str, str], now):
    """Add a measurement and keep its result with the person; `kept_as` names both fields."""
    policies.require(policies.may_measure(by, person))
    result, kept = kept_as
    last = model.objects.filter(person=person).first()
    in_use = getattr(person, kept)
    if numbers[result] is None and in_use is None:
        return last
    is_same = last is not None and numbers == {name: getattr(last, name) for name in numbers}
    if is_same and in_use == getattr(last, result):
        return last
    measured = model(person=person, **numbers, measured_by=by, measured_at=now or timezone.now())
    measured.full_clean()
    measured.save()
    setattr(person, kept, numbers[result])
    person.save(update_fields=[kept])
    return measured


@transaction.atomic
def share_contact(
    person: Person,
    *,
    emergency: tuple[str, str] | None,
    medical: str,
    now: datetime | None = None,
) -> Contact:
    """What a person shares of themself from now on; None or blank withdraws and deletes it.

    The moment of agreement is kept while the text stays the same.
    """
    now = now or timezone.now()
    contact = Contact.objects.filter(person=person).first() or Contact(person=person)
    if emergency is None:
        contact.emergency_name = contact.emergency_phone = ""
        contact.emergency_agreed_at = None
    elif contact.shared_emergency != emergency:
        contact.emergency_name, contact.emergency_phone = emergency
        contact.emergency_agreed_at = now
    if not medical:
        contact.medical_note, contact.medical_agreed_at = "", None
    elif contact.shared_medical != medical:
        contact.medical_note, contact.medical_agreed_at = medical, now
    contact.full_clean()
    contact.save()
    return contact


@transaction.atomic
def edit_person(by: Person, person: Person) -> None:
    """Save a changed name, sign-in name or rights; the school keeps an administrator."""
    before = policies.administered_people(by).filter(pk=person.pk).first()
    policies.require(before is not None)
    if before.is_school_admin and not person.is_school_admin:
        keep_an_administrator(before)
    person.full_clean(exclude=["password"])
    person.save(update_fields=["name", "username", "is_school_admin"])


@transaction.atomic
def close_account(by: Person, person: Person) -> None:
    """End someone's access at once; roles and results stay. Nobody closes their own account."""
    policies.require(policies.may_close_account(by, person))
    keep_an_administrator(person)
    person.is_active = False
    person.save(update_fields=["is_active"])


@transaction.atomic
def reopen_account(by: Person, person: Person) -> None:
    """Give access back; an erased account stays closed."""
    policies.require(policies.may_close_account(by, person))
    if person.erased_at is not None:
        raise ValidationError(_("The data of this account are erased; it cannot be opened again."))
    person.is_active = True
    person.save(update_fields=["is_active"])


def keep_an_administrator(person: Person) -> None:
    """ValidationError where the school would have no administrator without this one."""
    others = Person.objects.filter(school=person.school_id, is_school_admin=True, is_active=True)
    if person.is_school_admin and not others.exclude(pk=person.pk).exists():
        raise ValidationError(
            _("%(name)s is the only administrator of the school. Name another one first."),
            params={"name": person.name},
        )
