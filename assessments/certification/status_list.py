"""Which certificates were withdrawn, as W3C Bitstring Status List v1.0: a signed list of bits.

A credential names its list and its place in it; a bit that is set says withdrawn. The list tells
neither numbers nor names, so nobody learns from it which certificates there are.
"""

import gzip
from base64 import urlsafe_b64decode, urlsafe_b64encode
from datetime import UTC, datetime, timedelta
from typing import Any

from django.utils.translation import gettext as _

from assessments.certification.credential import (
    CredentialError,
    genuine_claims,
    instant,
    signed_claims,
    status_address,
)
from assessments.certification.keys import SchoolKey
from assessments.models import Packet
from coursework.models import School

LEAST_BITS = 131_072
"""A shorter list would tell more of each certificate in it (section 5.1 of the recommendation)."""
HOLDS = timedelta(days=1)
TYPE = "BitstringStatusListCredential"


def signed_list(school: School, check_address: str, key: SchoolKey, *, now: datetime) -> str:
    """The list of a school as a compact JWT; one query."""
    address = status_address(check_address, school.pk)
    withdrawn = Packet.objects.filter(certification__school=school, withdrawn_at__isnull=False)
    claims = {
        "@context": ["https://www.w3.org/ns/credentials/v2"],
        "id": address,
        "type": ["VerifiableCredential", TYPE],
        "issuer": {"id": check_address, "type": ["Profile"], "name": school.name},
        "validFrom": instant(now),
        "validUntil": instant(now + HOLDS),
        "credentialSubject": {
            "id": f"{address}#list",
            "type": "BitstringStatusList",
            "statusPurpose": "revocation",
            "encodedList": encoded(withdrawn.values_list("pk", flat=True)),
        },
        "iss": check_address,
        "jti": address,
        "nbf": int(now.timestamp()),
        "exp": int((now + HOLDS).timestamp()),
    }
    return signed_claims(claims, key)


def encoded(places) -> str:
    """The bits at `places` set, the first the highest of the first byte: gzip, then base64url."""
    places = list(places)
    size = max(LEAST_BITS, (max(places, default=0) // LEAST_BITS + 1) * LEAST_BITS)
    bits = bytearray(size // 8)
    for place in places:
        bits[place // 8] |= 0x80 >> place % 8
    packed = gzip.compress(bytes(bits), mtime=0)
    return "u" + urlsafe_b64encode(packed).decode("ascii").rstrip("=")


def is_withdrawn(claims: dict[str, Any], text: str, *, now: datetime) -> bool:
    """Whether the list in `text` says that the credential with these claims was withdrawn.

    CredentialError where the list is not genuine, too old, or another one than the credential's.
    """
    listed = genuine_claims(text)
    entry = claims.get("credentialStatus") or {}
    if TYPE not in listed.get("type", ()) or listed.get("id") != entry.get("statusListCredential"):
        raise CredentialError(_("The status list is not the one that the credential names."))
    if datetime.fromtimestamp(listed["exp"], UTC) < now:
        raise CredentialError(_("The status list is too old: fetch it again."))
    word = listed["credentialSubject"]["encodedList"].removeprefix("u")
    bits = gzip.decompress(urlsafe_b64decode(word + "=" * (-len(word) % 4)))
    place = int(entry["statusListIndex"])
    if not 0 <= place < 8 * len(bits):
        raise CredentialError(_("The status list has no place for this credential."))
    return bool(bits[place // 8] & 0x80 >> place % 8)
