"""What students laid, what was measured, and what follows from it."""

from assessments.models.attempts import Attempt
from assessments.models.certifications import Certification, CertifiedSkill, Renewal
from assessments.models.field import Arrival, FieldDevice, HeadcountEvent, LeadNote
from assessments.models.revisions import NoResult, Revision, Side, Verdict
from assessments.models.runs import PacketRun, PacketRunRow
from assessments.models.signoffs import Evidence, Packet, RepeatOrder, SignOff
from assessments.models.summaries import RecordSummary

__all__ = [
    "Arrival",
    "Attempt",
    "Certification",
    "CertifiedSkill",
    "Evidence",
    "FieldDevice",
    "HeadcountEvent",
    "LeadNote",
    "NoResult",
    "Packet",
    "PacketRun",
    "PacketRunRow",
    "RecordSummary",
    "Renewal",
    "RepeatOrder",
    "Revision",
    "Side",
    "SignOff",
    "Verdict",
]
