"""A certificate as Open Badges 3.0 credential (W3C Verifiable Credentials), a JWT of the school.

Contexts are named and never fetched. The header carries the public key; it is trusted only where
it is one of the school's own.
"""

from datetime import UTC, datetime, time
from functools import lru_cache
from typing import Any

from cryptography.hazmat.primitives import serialization
from django.utils.translation import gettext as _
from joserfc import jwt
from joserfc.errors import JoseError
from joserfc.jwk import RSAKey
from joserfc.jws import JWSRegistry

from assessments.certification.keys import SchoolKey, known_keys
from assessments.models import Packet
from coursework.records_language import in_records_language
from solar.clock import zone_of

ALGORITHM = "RS256"
CONTEXTS = [
    "https://www.w3.org/ns/credentials/v2",
    "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json",
]


class _Registry(JWSRegistry):
    """The one algorithm; a header with room for the public key."""

    max_header_length = 4096

    def __init__(self) -> None:
        super().__init__(algorithms=[ALGORITHM])


class CredentialError(Exception):
    """Why a credential is not one of this school's, in a sentence."""


@in_records_language()
def credential_of(packet: Packet, zone: str) -> dict[str, Any]:
    """The claims. The last day is whole, on the school's clock (`zone`)."""
    certification = packet.certification
    last = datetime.combine(packet.expires_on, time(23, 59, 59), tzinfo=zone_of(zone))
    skills = [signed.skill for signed in packet.sign_offs.select_related("skill")]
    listed = status_address(_origin(packet), certification.school_id)
    narrative = [f"{skill.title}: {' '.join(skill.rule_in_words)}" for skill in skills]
    return {
        "@context": CONTEXTS,
        "id": packet.check_address,
        "type": ["VerifiableCredential", "OpenBadgeCredential"],
        "name": certification.title,
        "issuer": {"id": _origin(packet), "type": ["Profile"], "name": packet.school_name},
        "validFrom": instant(packet.issued_at),
        "validUntil": instant(last),
        "credentialSubject": {
            "type": ["AchievementSubject"],
            "identifier": [
                {
                    "type": "IdentityObject",
                    "hashed": False,
                    "identityHash": packet.holder,
                    "identityType": "name",
                }
            ],
            "achievement": {
                "id": f"urn:uuid:{certification.lineage}",
                "type": ["Achievement"],
                "achievementType": "Certification",
                "name": certification.title,
                "version": str(certification.number),
                "description": certification.scope,
                "criteria": {"narrative": "\n".join(narrative)},
            },
        },
        "credentialStatus": {
            "id": f"{listed}#{packet.pk}",
            "type": "BitstringStatusListEntry",
            "statusPurpose": "revocation",
            "statusListIndex": str(packet.pk),
            "statusListCredential": listed,
        },
        "iss": _origin(packet),
        "jti": packet.check_address,
        "nbf": int(packet.issued_at.timestamp()),
        "exp": int(last.timestamp()),
    }


def status_address(check_address: str, school_pk: int) -> str:
    """Where the list of the withdrawn certificates of a school can be had."""
    return f"{check_address}status/{school_pk}"


def signed_credential(packet: Packet, key: SchoolKey, zone: str) -> str:
    """The credential as a compact JWT."""
    return signed_claims(credential_of(packet, zone), key)


def signed_claims(claims: dict[str, Any], key: SchoolKey) -> str:
    private = _private(key)
    header = {"alg": ALGORITHM, "typ": "JWT", "jwk": private.as_dict(private=False)}
    return jwt.encode(header, claims, private, algorithms=[ALGORITHM])


def verified(text: str) -> dict[str, Any]:
    """The claims of a credential that a key of this machine signed; CredentialError otherwise."""
    claims = genuine_claims(text)
    if claims.get("@context") != CONTEXTS:
        raise CredentialError(_("It is signed, but it is no credential of a certificate."))
    return claims


def genuine_claims(text: str) -> dict[str, Any]:
    """What a key of this machine signed, whatever it is; CredentialError where none did."""
    for key in known_keys():
        try:
            return jwt.decode(
                text.strip(), RSAKey.import_key(_public_pem(key)), registry=_Registry()
            ).claims
        except (JoseError, ValueError):
            continue
    raise CredentialError(
        _("No key of this school signed it as it stands: it is foreign, or it was changed.")
    )


@lru_cache(maxsize=8)
def _private(key: SchoolKey) -> RSAKey:
    return RSAKey.import_key(
        key.private.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )


def _public_pem(key: SchoolKey) -> bytes:
    return key.certificate.public_key().public_bytes(
        serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo
    )


def _origin(packet: Packet) -> str:
    """The address of the school's pages, without what stands behind it."""
    return packet.check_address.removesuffix(packet.number)


def instant(when: datetime) -> str:
    return when.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
