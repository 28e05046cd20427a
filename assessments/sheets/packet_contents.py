"""What stands in a certification packet: plain values, the same bytes for the same values."""

from dataclasses import dataclass, field
from datetime import date, datetime

from assessments.records.student import StudentRecord
from assessments.sheets.contents import SkillSheet


@dataclass(frozen=True, kw_only=True)
class SkillPart:
    """One skill as it was signed off. `clauses` are pairs of sentence and whether it was met.

    `signed_at` is on the school's clock; `counted` how many attempts the yes rests on.
    """

    title: str
    rule: tuple[str, ...]
    clauses: tuple[tuple[str, bool], ...]
    counted: int
    assessed: int
    assessors: tuple[str, ...]
    signer: str
    signed_at: datetime
    flags_accepted: str
    sheet: SkillSheet


@dataclass(frozen=True, kw_only=True)
class PacketSheet:
    """A packet: who, by whom, by which scheme, from when to when, and everything it rests on."""

    number: str
    holder: str
    school: str
    title: str
    version: int
    published_on: date | None
    scope: str
    validity: str
    renewal: str
    issued_at: datetime
    issued_on: date
    expires_on: date
    issuer: str
    check_address: str
    zone: str
    record: StudentRecord
    skills: tuple[SkillPart, ...] = field(default=())
