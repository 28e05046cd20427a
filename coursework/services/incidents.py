"""The log of incidents and near misses: reported, added to, followed up. Nothing is changed."""

from datetime import date, datetime, timedelta

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies
from coursework.models import FollowUp, Incident, IncidentNote, Person

DOUBLE_PRESS = timedelta(minutes=5)


@transaction.atomic
def report_incident(by: Person, incident: Incident, *, now: datetime | None = None) -> Incident:
    """Store a new report; the same one sent twice within minutes is stored once."""
    now = now or timezone.now()
    policies.require(policies.instructs_anywhere(by) and incident.school_id == by.school_id)
    if incident.occurred_at > now:
        raise ValidationError({"clock": _("That time is still to come.")})
    incident.reported_by, incident.reported_at = by, now
    incident.full_clean()
    same = Incident.objects.filter(
        school=incident.school_id,
        reported_by=by,
        occurred_at=incident.occurred_at,
        what=incident.what,
        reported_at__gte=now - DOUBLE_PRESS,
    ).first()
    if same is not None:
        return same
    incident.save()
    return incident


@transaction.atomic
def add_note(
    by: Person, incident: Incident, text: str, *, now: datetime | None = None
) -> IncidentNote:
    """Add what was learnt or has to be put right; what was said before stays."""
    _require_staff(by, incident)
    text = text.strip()
    last = incident.notes.order_by("-at", "-id").first()
    if last is not None and last.by_id == by.pk and last.text == text:
        return last
    note = IncidentNote(incident=incident, text=text, by=by, at=now or timezone.now())
    note.full_clean()
    note.save()
    return note


@transaction.atomic
def add_follow_up(
    by: Person, incident: Incident, *, task: str, person: Person, due_on: date
) -> FollowUp:
    """Give someone of the staff something to do by a day."""
    _require_staff(by, incident)
    policies.require(policies.staff(by).filter(pk=person.pk).exists())
    same = incident.follow_ups.filter(task=task, person=person, due_on=due_on, done_on=None).first()
    if same is not None:
        return same
    made = FollowUp(incident=incident, task=task, person=person, due_on=due_on, added_by=by)
    made.full_clean()
    made.save()
    return made


@transaction.atomic
def close_follow_up(
    by: Person, follow_up: FollowUp, *, note: str, now: datetime | None = None
) -> FollowUp:
    """Say that it is done, by whom and when. Done stays done."""
    policies.require(policies.may_close(by, follow_up))
    follow_up = FollowUp.objects.select_for_update().select_related("incident").get(pk=follow_up.pk)
    if follow_up.done_on is not None:
        raise ValidationError(_("It was marked as done before."))
    now = now or timezone.now()
    follow_up.done_on = now.astimezone(follow_up.incident.local_time.tzinfo).date()
    follow_up.done_by, follow_up.done_note = by, note.strip()
    follow_up.save(update_fields=["done_on", "done_by", "done_note"])
    return follow_up


def _require_staff(by: Person, incident: Incident) -> None:
    policies.require(policies.visible_incidents(by).filter(pk=incident.pk).exists())
