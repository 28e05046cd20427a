"""The school's own key, with which certificates are signed. It is never in the database.

One PEM file a key in the folder `school-keys` of the data folder: the private key and a
certificate that the school made out to itself. The newest that is in force signs; earlier ones
stay, so that what they signed can still be verified.
"""

import os
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.x509.oid import NameOID
from django.conf import settings
from django.utils import timezone

from coursework.models import School

BITS = 3072
YEARS = 5
RENEWED_BEFORE = timedelta(days=60)
"""A new key is made so long before the certificate of the last one runs out."""


@dataclass(frozen=True)
class SchoolKey:
    private: rsa.RSAPrivateKey
    certificate: x509.Certificate

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate, in groups of four."""
        text = self.certificate.fingerprint(hashes.SHA256()).hex().upper()
        return " ".join(text[n : n + 4] for n in range(0, len(text), 4))

    @property
    def last_day(self):
        return self.certificate.not_valid_after_utc.date()


def folder() -> Path:
    path = Path(settings.DATA_DIR) / "school-keys"
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def school_key(school: School, *, now: datetime | None = None) -> SchoolKey:
    """The key that signs now; made on first use, and anew before its certificate runs out."""
    now = now or timezone.now()
    held = _held(school)
    if held and held[-1].certificate.not_valid_after_utc - RENEWED_BEFORE > now:
        return held[-1]
    return renew(school, now=now)


def renew(school: School, *, now: datetime | None = None) -> SchoolKey:
    """A new key that signs from now on; earlier ones stay for verifying."""
    path = folder() / f"{school.pk}-{len(_paths(school)) + 1:03d}.pem"
    content = _made(school, now or timezone.now())
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        # Another process made it a moment ago: its key is as good.
        return _read(path)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
    return _read(path)


def known_keys() -> list[SchoolKey]:
    """Every key of this machine, of whatever school and age."""
    return [_read(path) for path in sorted(folder().glob("*.pem"))]


def _held(school: School) -> list[SchoolKey]:
    return [_read(path) for path in _paths(school)]


def _paths(school: School) -> list[Path]:
    return sorted(folder().glob(f"{school.pk}-*.pem"))


def _read(path: Path) -> SchoolKey:
    return _read_once(path, path.stat().st_mtime_ns)


@lru_cache(maxsize=64)
def _read_once(path: Path, _changed_ns: int) -> SchoolKey:
    """A key is checked when it is read, which takes a tenth of a second and more."""
    content = path.read_bytes()
    return SchoolKey(
        serialization.load_pem_private_key(content, password=None),
        x509.load_pem_x509_certificate(content),
    )


def _made(school: School, now: datetime) -> bytes:
    private = rsa.generate_private_key(public_exponent=65537, key_size=BITS)
    name = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, school.name[:64]),
            x509.NameAttribute(NameOID.COMMON_NAME, school.name[:64]),
        ]
    )
    now = now.astimezone(UTC).replace(microsecond=0)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(private.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(minutes=5))
        .not_valid_after(now + timedelta(days=365 * YEARS))
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(
            x509.KeyUsage(
                digital_signature=True,
                content_commitment=True,
                key_encipherment=False,
                data_encipherment=False,
                key_agreement=False,
                key_cert_sign=False,
                crl_sign=False,
                encipher_only=False,
                decipher_only=False,
            ),
            critical=True,
        )
        .add_extension(
            x509.SubjectKeyIdentifier.from_public_key(private.public_key()), critical=False
        )
        .sign(private, hashes.SHA256())
    )
    return private.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    ) + certificate.public_bytes(serialization.Encoding.PEM)
