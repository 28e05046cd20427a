"""Reads the signature of a PDF without the library that wrote it.

By ISO 32000-1:2008, 12.8 (ByteRange and Contents) and RFC 5652 (CMS signed data): the digest of
the covered bytes is the message digest among the signed attributes, and those are signed by the
key of the certificate beside them.
"""

import hashlib
from io import BytesIO

from asn1crypto import cms
from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import padding
from pypdf import PdfReader


def certificate_if_sound(content: bytes) -> x509.Certificate | None:
    """The certificate by which the whole file is signed; None where anything does not hold."""
    field = next(
        field
        for field in PdfReader(BytesIO(content)).get_fields().values()
        if field["/FT"] == "/Sig"
    )
    signature = field["/V"]
    first, length, second, rest = (int(number) for number in signature["/ByteRange"])
    if first != 0 or second + rest != len(content):
        return None
    covered = content[first : first + length] + content[second : second + rest]
    signed = cms.ContentInfo.load(bytes(signature["/Contents"]))["content"]
    (signer,) = signed["signer_infos"]
    attributes = signer["signed_attrs"]
    told = next(
        one["values"][0].native for one in attributes if one["type"].native == "message_digest"
    )
    if told != hashlib.sha256(covered).digest():
        return None
    certificate = x509.load_der_x509_certificate(signed["certificates"][0].dump())
    try:
        certificate.public_key().verify(
            signer["signature"].native,
            attributes.untag().dump(),
            padding.PKCS1v15(),
            hashes.SHA256(),
        )
    except InvalidSignature:
        return None
    return certificate
