"""Issuing packets and withdrawing them."""

from calendar import monthrange
from collections.abc import Sequence
from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from assessments.certification import policies
from assessments.certification.signing import _reason
from assessments.certification.standing import Standing, standing_of, today_of
from assessments.models import Attempt, Certification, Packet, Renewal
from assessments.records.student import SHOWN
from coursework.models import Person
from coursework.policies import require
from coursework.records_language import in_records_language


def months_later(day: date, months: int) -> date:
    """The last day of so many months: from 10 June 2026, 12 months last to 9 June 2027.

    Where that month has no such day, to its last.
    """
    years, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + years, month + 1
    if day.day == 1:
        year, month = (year, month - 1) if month > 1 else (year - 1, 12)
        return date(year, month, monthrange(year, month)[1])
    return date(year, month, min(day.day - 1, monthrange(year, month)[1]))


def reasons_against(by: Person, standing: Standing) -> list[str]:
    """Why a packet cannot be issued now, as sentences; none where it can."""
    said = []
    missing = [_("“%s”") % held.skill.title for held in standing.skills if held.sign_off is None]
    if missing:
        said.append(_("Not signed off: %s.") % ", ".join(missing))
    if not standing.skills:
        said.append(_("This certification has no skills."))
    if standing.is_renewal and standing.certification.renewal == Renewal.RULE:
        said += [
            _("“%s”: the rule is not met today, as it has to be for a renewal.") % held.skill.title
            for held in standing.skills
            if held.sign_off is not None and not held.decision.shown
        ]
    signers = {one.signed_by_id for one in standing.signed}
    if signers == {by.pk}:
        said.append(
            _("You signed off every skill yourself. Another assessor has to sign at least one.")
        )
    return said


@transaction.atomic
def issue_packet(
    by: Person,
    certification: Certification,
    student: Person,
    *,
    family_name: str,
    check_address: str,
    now: datetime | None = None,
) -> Packet:
    """Issue a certificate on the sign-offs that stand; ValidationError says what stands against it.

    `check_address` is where it can be checked; its number is put at the end.
    """
    require(policies.may_lead(by, certification, student))
    now = now or timezone.now()
    Person.objects.select_for_update().get(pk=student.pk)
    standing = standing_of(certification, student, now=now)
    return issue_on(
        by,
        standing,
        family_name=family_name,
        check_address=check_address,
        history=histories([student])[student.pk],
        now=now,
    )


@in_records_language()
def issue_on(
    by: Person,
    standing: Standing,
    *,
    family_name: str,
    check_address: str,
    history: list[int],
    now: datetime,
) -> Packet:
    """The same on a standing taken in this transaction, with the student locked, by who may."""
    certification, student = standing.certification, standing.student
    if against := reasons_against(by, standing):
        raise ValidationError(against)
    family_name = " ".join(family_name.split())
    if (fault := family_name_fault(family_name, student)) is not None:
        raise ValidationError(fault)
    issued_on = today_of(certification.school, now)
    packet = Packet(
        certification=certification,
        student=student,
        holder=student.name,
        family_name=family_name,
        school_name=certification.school.name,
        issued_by=by,
        issuer=by.name,
        issued_at=now,
        issued_on=issued_on,
        expires_on=months_later(issued_on, certification.validity_months),
        history=history,
    )
    packet.check_address = f"{check_address}{packet.number}"
    packet.save()
    packet.sign_offs.set(standing.signed)
    return packet


def family_name_fault(family_name: str, student: Person) -> str | None:
    """Why this cannot be the family name of a student; None where it can."""
    family_name = " ".join(family_name.split())
    if family_name and family_name.casefold() in student.name.casefold():
        return None
    return _("The family name has to be part of the name on record, “%s”.") % student.name


@transaction.atomic
def withdraw_packet(
    by: Person, packet: Packet, reason: str, *, now: datetime | None = None
) -> Packet:
    packet = Packet.objects.select_for_update().get(pk=packet.pk)
    require(policies.may_withdraw_packet(by, packet))
    packet.withdrawn_reason = _reason(reason)
    packet.withdrawn_at, packet.withdrawn_by = now or timezone.now(), by
    packet.save(update_fields=["withdrawn_reason", "withdrawn_at", "withdrawn_by"])
    return packet


def histories(students: Sequence[Person]) -> dict[int, list[int]]:
    """Numbers of each student's newest lines that an instructor checked, as they stand now."""
    attempts = Attempt.objects.filter(
        student__in=students, drill__practised_by=None, current__own_error_deg__isnull=False
    )
    newest = attempts.order_by("-observed_at", "-pk")
    found: dict[int, list[int]] = {student.pk: [] for student in students}
    for student_pk, revision_pk in newest.values_list("student", "current"):
        if len(found[student_pk]) < SHOWN:
            found[student_pk].append(revision_pk)
    return {pk: sorted(numbers) for pk, numbers in found.items()}
