"""The school's signature inside a PDF (ISO 32000, PAdES): any change to the file breaks it."""

from io import BytesIO

from asn1crypto import x509 as asn1_x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric.padding import PKCS1v15
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from pyhanko_certvalidator.registry import SimpleCertificateStore

from assessments.certification.keys import SchoolKey

FIELD = "SchoolSignature"
DIGEST = "sha256"


class _Signer(signers.Signer):
    """Signs with a key that is read already; reading one anew takes longer than all the rest."""

    def __init__(self, key: SchoolKey) -> None:
        der = key.certificate.public_bytes(serialization.Encoding.DER)
        super().__init__(
            signing_cert=asn1_x509.Certificate.load(der), cert_registry=SimpleCertificateStore()
        )
        self._private = key.private

    async def async_sign_raw(
        self, data: bytes, digest_algorithm: str, dry_run: bool = False
    ) -> bytes:
        if dry_run:
            return bytes(self._private.key_size // 8)
        if digest_algorithm != DIGEST:
            raise ValueError(f"The school signs with {DIGEST}, not {digest_algorithm}.")
        return self._private.sign(data, PKCS1v15(), hashes.SHA256())


def signed(content: bytes, key: SchoolKey, *, name: str, reason: str) -> bytes:
    """The PDF with a signature appended; the bytes before it stay as they are."""
    wanted = signers.PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm=DIGEST,
        name=name,
        reason=reason,
        certify=True,
        docmdp_permissions=fields.MDPPerm.NO_CHANGES,
        subfilter=fields.SigSeedSubFilter.PADES,
    )
    out = signers.sign_pdf(IncrementalPdfFileWriter(BytesIO(content)), wanted, signer=_Signer(key))
    return out.getvalue()
