"""Incidents and near misses, what was learnt since, and what is still to be done about them."""

from datetime import date, datetime
from typing import Self
from zoneinfo import ZoneInfo

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from coursework.models.places import validate_zone
from coursework.wording import date_format


class Harm(models.TextChoices):
    NONE = "none", _("nobody hurt")
    MINOR = "minor", _("first aid on the spot")
    CARE = "care", _("needed medical care")
    SERIOUS = "serious", _("serious injury or worse")


class IncidentQuerySet(models.QuerySet):
    def with_open(self) -> Self:
        """Each with `open_number` follow-ups not done; those with any first, then by time."""
        undone = models.Q(follow_ups__done_on=None, follow_ups__isnull=False)
        rows = self.select_related("site", "drill__exercise").annotate(
            open_number=models.Count("follow_ups", filter=undone, distinct=True),
            first_due=models.Min("follow_ups__due_on", filter=undone),
        )
        is_settled = models.Case(
            models.When(open_number__gt=0, then=0), default=1, output_field=models.IntegerField()
        )
        return rows.order_by(is_settled, models.F("first_due").asc(nulls_last=True),
                             "-occurred_at", "-id")  # fmt: skip

    def matching(self, words: str) -> Self:
        """Those that have the words anywhere, in what was added later as well."""
        added = IncidentNote.objects.filter(text__icontains=words).values("incident")
        asked = FollowUp.objects.filter(task__icontains=words).values("incident")
        found = models.Q(pk__in=added) | models.Q(pk__in=asked)
        for name in ("what", "place", "people", "harm_note", "action", "site__name"):
            found |= models.Q(**{f"{name}__icontains": words})
        return self.filter(found)


class Incident(models.Model):
    """Something that hurt someone or nearly did. Never changed nor removed: notes are added."""

    class Kind(models.TextChoices):
        INCIDENT = "incident", _("incident")
        NEAR_MISS = "near-miss", _("near miss")

    school = models.ForeignKey("coursework.School", models.PROTECT, related_name="incidents")
    kind = models.CharField(_("kind"), max_length=10, choices=Kind)
    occurred_at = models.DateTimeField(_("happened"))
    zone = models.CharField(_("time zone"), max_length=64, validators=[validate_zone])
    drill = models.ForeignKey(
        "coursework.Drill", models.PROTECT, null=True, blank=True, related_name="incidents"
    )
    site = models.ForeignKey(
        "coursework.Site", models.PROTECT, null=True, blank=True, related_name="incidents"
    )
    place = models.CharField(_("where exactly"), max_length=200, blank=True)
    what = models.TextField(_("what happened"), max_length=4000)
    people = models.TextField(_("people involved"), max_length=1000, blank=True)
    harm = models.CharField(_("harm"), max_length=10, choices=Harm)
    harm_note = models.TextField(_("harm in words"), max_length=1000, blank=True)
    action = models.TextField(_("immediate action"), max_length=2000)
    reported_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    reported_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = IncidentQuerySet.as_manager()

    class Meta:
        verbose_name = _("incident or near miss")
        verbose_name_plural = _("incidents and near misses")
        ordering = ["-occurred_at", "-id"]
        indexes = [models.Index(fields=["school", "-occurred_at"])]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}, {date_format(self.local_time, 'j F Y')}"

    @property
    def local_time(self) -> datetime:
        return self.occurred_at.astimezone(ZoneInfo(self.zone))


class IncidentNote(models.Model):
    """What was learnt or has to be put right about an incident, added to what was said first."""

    incident = models.ForeignKey(Incident, models.PROTECT, related_name="notes")
    text = models.TextField(_("note"), max_length=4000)
    by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        verbose_name = _("note on an incident")
        verbose_name_plural = _("notes on incidents")
        ordering = ["at", "id"]

    def __str__(self) -> str:
        return self.text[:60]


class FollowUp(models.Model):
    """One thing that somebody is to do about an incident by a day."""

    incident = models.ForeignKey(Incident, models.PROTECT, related_name="follow_ups")
    task = models.CharField(_("what is to be done"), max_length=300)
    person = models.ForeignKey("coursework.Person", models.PROTECT, related_name="follow_ups")
    due_on = models.DateField(pgettext_lazy("day until which it is done", "by"))
    added_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    added_at = models.DateTimeField(default=timezone.now, editable=False)
    done_on = models.DateField(_("done"), null=True, editable=False)
    done_by = models.ForeignKey(
        "coursework.Person", models.PROTECT, null=True, editable=False, related_name="+"
    )
    done_note = models.CharField(_("what was done"), max_length=300, blank=True, editable=False)

    class Meta:
        verbose_name = _("follow-up")
        verbose_name_plural = _("follow-ups")
        ordering = ["done_on", "due_on", "id"]

    def __str__(self) -> str:
        return self.task

    def is_late(self, today: date) -> bool:
        return self.done_on is None and self.due_on < today
