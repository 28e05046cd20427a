"""What anyone may learn of a certificate: its state by its number, the name with the name."""

import hmac
import unicodedata
from dataclasses import dataclass
from datetime import date, datetime

from django.core.cache import cache
from django.utils import timezone

from assessments.models import Packet
from coursework.models import SchoolSettings
from solar.clock import zone_of

TRIES, ALL_TRIES, WINDOW_S = 20, 600, 600
"""From one address, and from all together, in so many seconds; one more is refused."""
_LETTERS = str.maketrans({"ł": "l", "đ": "d", "ø": "o", "ı": "i", "ħ": "h"})


@dataclass(frozen=True, kw_only=True)
class Answer:
    """`state` of a certificate, with `packet` only where the family name was given as well."""

    state: Packet.State
    certification: str
    school: str
    issued_on: date
    expires_on: date
    packet: Packet | None = None


def look_up(number: str, family_name: str, *, now: datetime | None = None) -> Answer | None:
    """None where there is no such number, or where a family name is given that is not the one.

    The same work is done either way, so that the time it takes says nothing.
    """
    packet = (
        Packet.objects.select_related("certification").filter(number=plain_number(number)).first()
    )
    school = packet.certification.school_id if packet is not None else 0
    settings = SchoolSettings.objects.filter(school=school).first() or SchoolSettings()
    held = _folded(packet.family_name) if packet is not None else "\0"
    fits = hmac.compare_digest(held.encode(), _folded(family_name).encode())
    if packet is None or (family_name.strip() and not fits):
        return None
    today = (now or timezone.now()).astimezone(zone_of(settings.zone)).date()
    return Answer(
        state=packet.state(today),
        certification=packet.certification.title,
        school=packet.school_name,
        issued_on=packet.issued_on,
        expires_on=packet.expires_on,
        packet=packet if fits else None,
    )


def plain_number(text: str) -> str:
    """As it is stored: capitals and digits, whatever stood between the groups."""
    return "".join(character for character in text.upper() if character.isalnum())[:12]


def is_too_often(address: str) -> bool:
    """Whether someone asks too often; each call counts as one try."""
    return max(_counted(f"check:{address}") - TRIES, _counted("check-all") - ALL_TRIES) > 0


def _counted(name: str) -> int:
    cache.add(name, 0, WINDOW_S)
    try:
        return cache.incr(name)
    except ValueError:
        # It ran out between the two calls.
        cache.set(name, 1, WINDOW_S)
        return 1


def _folded(name: str) -> str:
    """Without accents, case and what is no letter: as one reads it out or types it abroad."""
    parts = unicodedata.normalize("NFKD", name.casefold().translate(_LETTERS))
    return "".join(character for character in parts if character.isalnum())
