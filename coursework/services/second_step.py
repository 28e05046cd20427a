"""A second step at sign-in: a code of the hour from the person's own device, or a spare code."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _
from django_otp import match_token
from django_otp.plugins.otp_static.models import StaticDevice, StaticToken
from django_otp.plugins.otp_totp.models import TOTPDevice

from coursework import policies
from coursework.models import Person

SPARE_CODES = 8
_SPARE = "spare codes"


def asks_for_code(person: Person) -> bool:
    """Whether signing in as this person takes a second step."""
    return TOTPDevice.objects.filter(user=person, confirmed=True).exists()


def spare_codes_left(person: Person) -> int:
    return StaticToken.objects.filter(device__user=person).count()


@transaction.atomic
def begin_second_step(person: Person) -> TOTPDevice:
    """The device to be set up (RFC 6238): the one begun before, so that a reload keeps its key."""
    device = TOTPDevice.objects.filter(user=person, confirmed=False).first()
    if device is None:
        device = TOTPDevice.objects.create(user=person, name="second step", confirmed=False)
    return device


@transaction.atomic
def start_second_step(person: Person, code: str) -> list[str]:
    """Switch it on with a first right code; returns the spare codes, which are shown once."""
    if asks_for_code(person):
        raise ValidationError(_("The second step is on already."))
    device = begin_second_step(person)
    if not device.verify_token(plain(code)):
        raise ValidationError(
            _("That is not the code of the moment. Is the clock of your device right?")
        )
    device.confirmed = True
    device.save(update_fields=["confirmed"])
    return _new_codes(person)


@transaction.atomic
def renew_spare_codes(person: Person) -> list[str]:
    """New spare codes; the old ones no longer count."""
    if not asks_for_code(person):
        raise ValidationError(_("The second step is off."))
    return _new_codes(person)


def code_fits(person: Person, code: str) -> bool:
    """Whether the code lets in. A code counts once, and wrong ones make the next wait longer."""
    return match_token(person, plain(code)) is not None


@transaction.atomic
def stop_second_step(by: Person, person: Person) -> None:
    """Switch it off: one's own, or as administrator that of someone who has lost their device."""
    policies.require(policies.may_stop_second_step(by, person))
    TOTPDevice.objects.filter(user=person).delete()
    StaticDevice.objects.filter(user=person).delete()


def plain(code: str) -> str:
    """A code as it is compared: people type spaces and capitals."""
    return "".join(code.split()).lower()


def _new_codes(person: Person) -> list[str]:
    StaticDevice.objects.filter(user=person).delete()
    device = StaticDevice.objects.create(user=person, name=_SPARE)
    codes = [StaticToken.random_token() for _number in range(SPARE_CODES)]
    StaticToken.objects.bulk_create(StaticToken(device=device, token=code) for code in codes)
    return codes
