"""The private address of someone's calendar: made, renewed, revoked by its owner alone."""

import secrets
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from coursework.models import CalendarFeed, Person
from coursework.models.feeds import feed_hash

_TOKEN_BYTES = 24


@transaction.atomic
def make_feed(person: Person, *, now: datetime | None = None) -> str:
    """The secret part of a new address, which is stored nowhere; an older one ends with it."""
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    CalendarFeed.objects.update_or_create(
        person=person,
        defaults={"token_hash": feed_hash(token), "made_at": now or timezone.now()},
    )
    return token


def revoke_feed(person: Person) -> None:
    CalendarFeed.objects.filter(person=person).delete()
