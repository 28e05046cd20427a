"""Notes for the lead."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils import timezone

from assessments import policies
from assessments.models import LeadNote
from coursework.models import Person


def settle(by: Person, note: LeadNote, *, now: datetime | None = None) -> None:
    """Say that a note was dealt with; the first one who says so stands.

    PermissionDenied for those who only wrote or read it.
    """
    if not policies.may_settle(by, note):
        raise PermissionDenied
    with transaction.atomic():
        LeadNote.objects.filter(pk=note.pk, settled_at=None).update(
            settled_by=by, settled_at=now or timezone.now()
        )
