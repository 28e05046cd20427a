"""What those who go out with students must hold: first aid, and approval as an assessor."""

from collections.abc import Iterable
from datetime import date, timedelta

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from coursework.wording import date_format

SOON = timedelta(days=60)
"""From how long before it lapses an approval is spoken of."""


class ApprovalQuerySet(models.QuerySet):
    def last_days(self, people: Iterable[int]) -> dict[int, dict[str, date]]:
        """The last day that any approval of each kind reaches, by person (primary key)."""
        rows = self.filter(person__in=people).order_by().values_list("person", "kind")
        found: dict[int, dict[str, date]] = {}
        for person, kind, last in rows.annotate(last=models.Max("expires_on")):
            found.setdefault(person, {})[kind] = last
        return found

    def staff_notes(self, people: Iterable[int], *, today: date) -> dict[int, list[str]]:
        """What speaks against taking each person (primary key) out as staff, in plain words.

        An empty list where nothing is missing, lapsed or about to lapse. One query.
        """
        people = list(people)
        held = self.last_days(people)
        notes = {
            pk: [standing(kind, held.get(pk, {}).get(kind), today) for kind in Approval.Kind]
            for pk in people
        }
        return {pk: [note for note in some if note] for pk, some in notes.items()}


class Approval(models.Model):
    """One certificate or approval of a person, with the last day that it holds."""

    class Kind(models.TextChoices):
        FIRST_AID = "first-aid", _("first aid")
        ASSESSOR = "assessor", _("approval as assessor")

    person = models.ForeignKey("coursework.Person", models.CASCADE, related_name="approvals")
    kind = models.CharField(_("what"), max_length=20, choices=Kind)
    detail = models.CharField(
        _("which one"),
        max_length=160,
        blank=True,
        help_text=_("Who issued it, its number, the hours of the course: what helps to check it."),
    )
    issued_on = models.DateField(_("issued"))
    expires_on = models.DateField(_("last day it holds"))
    recorded_by = models.ForeignKey("coursework.Person", models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(default=timezone.now, editable=False)

    UNTIL = {"first-aid": "first_aid_until", "assessor": "assessor_until"}
    """The columns that `staff` of people adds, by kind: the last day that any reaches."""

    objects = ApprovalQuerySet.as_manager()

    class Meta:
        verbose_name = _("approval")
        verbose_name_plural = _("approvals")
        ordering = ["-expires_on", "kind", "id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(expires_on__gte=models.F("issued_on")),
                name="approval_ends_after_it_starts",
                violation_error_message=_("The last day is before the day it was issued."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.person}, {self.get_kind_display()}"


def standing(kind: str, last: date | None, today: date) -> str:
    """What is to be said of a kind that holds until `last` (None: never recorded); '' if nothing.

    'first aid lapsed on 3 May 2026', 'no first aid on record', 'first aid lapses in 12 days'.
    """
    what = str(Approval.Kind(kind).label)
    if last is None:
        return gettext("no %(what)s on record") % {"what": what}
    day = date_format(last, "j F Y")
    if last < today:
        return gettext("%(what)s lapsed on %(day)s") % {"what": what, "day": day}
    if last - today >= SOON:
        return ""
    days = (last - today).days
    if days == 0:
        return gettext("%(what)s holds for the last day today") % {"what": what}
    return ngettext(
        "%(what)s lapses in %(days)s day, on %(day)s",
        "%(what)s lapses in %(days)s days, on %(day)s",
        days,
    ) % {"what": what, "days": days, "day": day}
