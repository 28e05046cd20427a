"""A packet as it is handed out: printed, and signed by the school."""

from django.utils.translation import gettext as _

from assessments.certification.keys import SchoolKey, school_key
from assessments.certification.packet_source import packet_sheet
from assessments.certification.pdf_signature import signed
from assessments.models import Packet
from assessments.sheets.packet import render_pdf
from coursework.records_language import in_records_language


def packet_file(packet: Packet, *, paper: str) -> bytes:
    """The packet on that paper, with the signature of the key that signs now."""
    content = render_pdf(packet_sheet(packet), paper=paper)
    return signed_packet(packet, content, school_key(packet.certification.school))


@in_records_language()
def signed_packet(packet: Packet, content: bytes, key: SchoolKey) -> bytes:
    return signed(
        content,
        key,
        name=packet.school_name,
        reason=_("Certification packet %s") % packet.number_in_groups,
    )
