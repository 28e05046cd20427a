"""The school's signature inside a PDF (ISO 32000, PAdES): any change to the file breaks it."""

from io import BytesIO

from asn1crypto import keys as asn1_keys
from asn1crypto import x509 as asn1_x509
from cryptography.hazmat.primitives import serialization
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from pyhanko_certvalidator.registry import SimpleCertificateStore

from assessments.certification.keys import SchoolKey

FIELD = "SchoolSignature"


def signed(content: bytes, key: SchoolKey, *, name: str, reason: str) -> bytes:
    """The PDF with a signature appended; the bytes before it stay as they are."""
    der = key.certificate.public_bytes(serialization.Encoding.DER)
    private = key.private.private_bytes(
        serialization.Encoding.DER,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    signer = signers.SimpleSigner(
        signing_cert=asn1_x509.Certificate.load(der),
        signing_key=asn1_keys.PrivateKeyInfo.load(private),
        cert_registry=SimpleCertificateStore(),
    )
    wanted = signers.PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm="sha256",
        name=name,
        reason=reason,
        certify=True,
        docmdp_permissions=fields.MDPPerm.NO_CHANGES,
        subfilter=fields.SigSeedSubFilter.PADES,
    )
    out = signers.sign_pdf(IncrementalPdfFileWriter(BytesIO(content)), wanted, signer=signer)
    return out.getvalue()
