"""First-aid and assessor approvals on record."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from coursework import policies
from coursework.models import Approval, Person


@transaction.atomic
def record_approval(by: Person, approval: Approval, now: datetime | None = None) -> Approval:
    """Save a new or changed approval; who saved it last stands on it."""
    policies.require(policies.may_record_approval(by, approval.person))
    approval.recorded_by, approval.recorded_at = by, now or timezone.now()
    approval.full_clean()
    approval.save()
    return approval


@transaction.atomic
def remove_approval(by: Person, approval: Approval) -> None:
    policies.require(policies.may_record_approval(by, approval.person))
    approval.delete()
