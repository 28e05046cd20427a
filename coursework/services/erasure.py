"""What is held about a person: given out, and erased."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID, uuid4

from axes.utils import reset as forget_failures
from django.contrib.auth.hashers import make_password
from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from coursework import policies, traces
from coursework.models import Cohort, Enrolment, Person, Role
from coursework.services.people import keep_an_administrator

ACCOUNT = (
    "username",
    "name",
    "email",
    "school__name",
    "is_school_admin",
    "is_active",
    "degrees_per_hand",
    "paces_per_100_m",
    "date_joined",
    "last_login",
)


@dataclass(frozen=True, kw_only=True)
class Share:
    """How many rows of one kind an erasure removes, and how many stay without the name."""

    words: str
    going: int
    staying: int


def personal_data(by: Person, person: Person) -> dict[str, Any]:
    """Everything held about a person, as plain values, by what it is.

    What the person shares for emergencies goes to themself only; what they recorded about
    others is counted, since it is about those others.
    """
    policies.require(policies.may_export(by, person))
    account = Person.objects.filter(pk=person.pk).values(*ACCOUNT).get()
    found: dict[str, Any] = {_("account"): _plain(account)}
    counted = {}
    for trace in traces.declared():
        rows = trace.rows(person)
        if trace.private and by.pk != person.pk:
            found[str(trace.words)] = _("Given to the person alone, when they ask for it themself.")
        elif trace.columns:
            shown = trace.shown(by, rows)
            found[str(trace.words)] = [_plain(row) for row in shown.values(*trace.columns)]
            if hidden := rows.count() - shown.count():
                found[_("%s hidden now") % trace.words] = _(
                    "%(n)s, while an assessed drill is on there; ask again when it is over."
                ) % {"n": hidden}
        elif number := rows.count():
            counted[str(trace.words)] = number
    found[_("recorded about others (number)")] = counted
    return found


def erasure_shares(person: Person) -> list[Share]:
    """What erasing someone's data would remove and keep, without what there is none of."""
    shares = []
    for trace in traces.declared():
        rows = trace.rows(person)
        number, going = rows.count(), trace.going(rows).count()
        if number:
            shares.append(Share(words=str(trace.words), going=going, staying=number - going))
    return shares


@transaction.atomic
def erase_person(by: Person, person: Person, *, now: datetime | None = None) -> str:
    """Erase what is held about someone; returns the label that stands for the name from now on.

    What certificates and assessed results rest on stays, under the label and without anything
    that leads back. ValidationError where the school would lose its only administrator, or a
    cohort that is not over its only lead.
    """
    policies.require(policies.may_erase(by, person))
    now = now or timezone.now()
    keep_an_administrator(person)
    _keep_leads(person, timezone.localdate(now))
    # Not from the name nor the sign-in name, and the same in every record.
    label = _("Former member %s") % uuid4().hex[:6]
    traces.rename_everywhere(person, label)
    forget_failures(username=person.username)
    for trace in traces.declared():
        trace.remove(trace.going(trace.rows(person)))
    _anonymise(person, label, now)
    try:
        with transaction.atomic():
            person.delete()
    except models.ProtectedError:
        # Records rest on the row: it stays, and says nothing about who it was.
        pass
    return label


def _anonymise(person: Person, label: str, now: datetime) -> None:
    person.groups.clear()
    person.field_groups.clear()
    person.user_permissions.clear()
    person.name, person.email = label, ""
    person.username = f"erased-{uuid4().hex[:12]}"
    person.password = make_password(None)
    person.is_active = person.is_staff = person.is_superuser = person.is_school_admin = False
    person.degrees_per_hand = person.paces_per_100_m = person.last_login = None
    person.date_joined = person.erased_at = now
    person.save()


def _keep_leads(person: Person, today: date) -> None:
    led = Cohort.objects.not_over(today).filter(
        enrolments__in=Enrolment.objects.filter(person=person, role=Role.LEAD)
    )
    others = Enrolment.objects.filter(role=Role.LEAD).exclude(person=person)
    alone = led.exclude(pk__in=others.values("cohort"))
    if names := [cohort.name for cohort in alone]:
        raise ValidationError(
            _("%(name)s is the only course lead of: %(cohorts)s. Add another lead there first."),
            params={"name": person.name, "cohorts": ", ".join(names)},
        )


def _plain(value: Any) -> Any:
    """Values that JSON can hold, instants and days as ISO 8601."""
    if isinstance(value, dict):
        return {key.replace("__", " "): _plain(part) for key, part in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    if isinstance(value, datetime | date):
        return value.isoformat()
    return str(value) if isinstance(value, UUID) else value


def as_text(data: Any, depth: int = 0) -> Iterator[str]:
    """The same as lines of plain text, indented, for reading without any program."""
    indent = "  " * depth
    if isinstance(data, dict):
        for name, value in data.items():
            title = str(name).replace("_", " ")
            if isinstance(value, dict | list) and value:
                yield f"{indent}{title}:"
                yield from as_text(value, depth + 1)
            else:
                said = value if value not in (None, "", [], {}) else "–"
                yield f"{indent}{title}: {said}"
    elif isinstance(data, list):
        for number, value in enumerate(data, start=1):
            if isinstance(value, dict | list):
                yield f"{indent}{number}."
                yield from as_text(value, depth + 1)
            else:
                yield f"{indent}{value}"
